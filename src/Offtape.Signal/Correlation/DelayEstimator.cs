namespace Offtape.Signal;

/// <summary>
/// Finds how late one signal is against another, to a small part of a frame, by generalised cross-correlation (C. H. Knapp and
/// G. C. Carter, IEEE Trans. ASSP-24(4), 1976): coarsely over the whole search range, then about each candidate with both windows laid over
/// the same piece of sound, where the exact maximum of the weighted correlation is found by Newton's method on its Fourier sum.
/// An instance holds its scratch: use one in each thread.
/// </summary>
public sealed class DelayEstimator
{
    private const double SameCrestFrames = 0.25;

    private readonly DelayEstimatorOptions options;
    private readonly DelaySearch search;
    private readonly DelayRefinement refinement;

    public DelayEstimator(DelayEstimatorOptions options)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(options.WindowFrames, 16, nameof(options));
        ArgumentOutOfRangeException.ThrowIfLessThan(options.MaxLagFrames, 1, nameof(options));
        ArgumentOutOfRangeException.ThrowIfNegative(options.WhiteningExponent, nameof(options));
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(options.SampleRateHz, nameof(options));
        this.options = options;
        search = new DelaySearch(options);
        refinement = new DelayRefinement(options);
    }

    /// <summary>Length of the reference in frames.</summary>
    public int WindowFrames => options.WindowFrames;

    public int MaxLagFrames => options.MaxLagFrames;

    /// <summary>Length of the other signal in frames: the window with the search range on both sides.</summary>
    public int OtherFrames => options.WindowFrames + 2 * options.MaxLagFrames;

    /// <summary>Finds the best candidates, the highest first.</summary>
    /// <param name="reference"><see cref="WindowFrames"/> frames.</param>
    /// <param name="other"><see cref="OtherFrames"/> frames; at lag 0, other[MaxLagFrames] goes with reference[0].</param>
    /// <param name="peaks">As many candidates as are wanted.</param>
    /// <returns>How many were found; 0 when either signal is silent in the band.</returns>
    public int Estimate(ReadOnlySpan<float> reference, ReadOnlySpan<float> other, Span<DelayPeak> peaks)
    {
        if (reference.Length != WindowFrames || other.Length != OtherFrames)
            throw new ArgumentException($"Wanted {WindowFrames} and {OtherFrames} frames.", nameof(reference));
        if (peaks.IsEmpty)
            return 0;
        search.Correlate(reference, other);
        refinement.SetSignals(reference, other);
        var found = 0;
        while (found < peaks.Length && search.TakeHighest(out var coarseLagFrames, out var polarity))
        {
            var peak = refinement.Refine(coarseLagFrames, polarity);
            if (peak.Rho > 0 && !IsAmong(peaks[..found], peak))
                peaks[found++] = peak;
        }
        peaks[..found].Sort((a, b) => b.Rho.CompareTo(a.Rho));
        return found;
    }

    // Two coarse candidates may climb to the same crest.
    private static bool IsAmong(ReadOnlySpan<DelayPeak> peaks, DelayPeak candidate)
    {
        foreach (var peak in peaks)
        {
            if (peak.Polarity == candidate.Polarity && Math.Abs(peak.LagFrames - candidate.LagFrames) < SameCrestFrames)
                return true;
        }
        return false;
    }
}
