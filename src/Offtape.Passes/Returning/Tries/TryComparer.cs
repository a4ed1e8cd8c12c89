using Offtape.Passes.Following;
using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Tries;

/// <summary>
/// How two returns of one source lie to each other, heard along their maps: what is left between them once both are in time with the source.
/// They are compared with each other, not with the source, so that neither map is its own witness.
/// </summary>
internal static class TryComparer
{
    private const int WindowFrames = 512;
    private const int MostLagFrames = 24;
    private const double LoudDb = 30;
    private const int MostWindows = 600;
    private const int FewestWindows = 5;

    // Where a machine is a plain delay for the most part, and every machine passes.
    private const double LowHz = 500;
    private const double HighHz = 6000;
    private const double LeastRho = 0.6;
    private const int Candidates = 5;
    private const double RivalShare = 0.85;

    /// <summary>The distance of one try from another; null where they cannot be compared (one heard backwards, or too little sound in common).</summary>
    internal static TryDistance? Between(FollowedTake first, FollowedTake other, CancellationToken cancellation)
    {
        if (first.IsReversed != other.IsReversed)
            return null;
        using var a = new TryReader(first, WindowFrames);
        using var b = new TryReader(other, WindowFrames + 2 * MostLagFrames);
        var estimator = new DelayEstimator(
            new DelayEstimatorOptions
            {
                SampleRateHz = WorkingSignal.UsualRateHz,
                WindowFrames = WindowFrames,
                MaxLagFrames = MostLagFrames,
                LowHz = LowHz,
                HighHz = HighHz,
                UprightOnly = true,
            }
        );
        var peaks = new DelayPeak[Candidates];
        var (sum, squares, weights, noise) = (0.0, 0.0, 0.0, 0.0);
        var count = 0;
        foreach (var seconds in Places(first, other))
        {
            cancellation.ThrowIfCancellationRequested();
            var found = estimator.Estimate(a.At(seconds), b.At(seconds), peaks);
            if (found == 0 || peaks[0].Rho < LeastRho)
                continue;
            var peak = Nearest(peaks.AsSpan(0, found));
            var lag = peak.LagFrames / WorkingSignal.UsualRateHz;
            var sigma = Math.Max(peak.SigmaFrames / WorkingSignal.UsualRateHz, 1e-8);
            var weight = 1 / (sigma * sigma);
            (sum, squares, weights, noise) = (sum + weight * lag, squares + weight * lag * lag, weights + weight, noise + 1);
            count++;
        }
        if (count < FewestWindows)
            return null;
        var mean = sum / weights;
        // What the estimates scatter by themselves is no distance.
        var spread = Math.Max(0, squares / weights - mean * mean - noise / weights);
        return new TryDistance(mean, Math.Sqrt(spread));
    }

    /// <summary>A held note fits a period earlier or later about as well: of peaks that are nearly as high as the highest, the one nearest to no lag.</summary>
    private static DelayPeak Nearest(ReadOnlySpan<DelayPeak> peaks)
    {
        var nearest = peaks[0];
        foreach (var peak in peaks)
        {
            if (peak.Rho > RivalShare * peaks[0].Rho && Math.Abs(peak.LagFrames) < Math.Abs(nearest.LagFrames))
                nearest = peak;
        }
        return nearest;
    }

    /// <summary>Middles of windows in seconds of the source file where it sounds and both tries hold it.</summary>
    private static IEnumerable<double> Places(FollowedTake first, FollowedTake other)
    {
        var level = first.Source.Levels[first.SourceChannel];
        var (from, to) = (Math.Max(Heard(first).From, Heard(other).From), Math.Min(Heard(first).To, Heard(other).To));
        const double half = 0.5 * (WindowFrames + 2 * MostLagFrames) / WorkingSignal.UsualRateHz;
        var step = Math.Max(2 * half, (to - from) / MostWindows);
        for (var s = from + half; s + half <= to; s += step)
        {
            if (level.DbAt(s) > level.PeakDb - LoudDb && !IsNearStand(first, s) && !IsNearStand(other, s))
                yield return s;
        }
    }

    private static bool IsNearStand(FollowedTake take, double sourceFileSeconds)
    {
        var s = take.ToTrackerSeconds(sourceFileSeconds);
        return take.Stands.Any(t => s > t.FromSource - 0.1 && s < t.ToSource + 0.1);
    }

    private static (double From, double To) Heard(FollowedTake take)
    {
        var (a, b) = (take.ToSourceFileSeconds(take.FirstHeard), take.ToSourceFileSeconds(take.LastHeard));
        return (Math.Min(a, b), Math.Max(a, b));
    }
}
