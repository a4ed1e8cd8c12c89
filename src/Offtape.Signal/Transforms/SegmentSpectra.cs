namespace Offtape.Signal;

/// <summary>
/// Power spectra of half-overlapping Hann segments of a signal (P. D. Welch, IEEE Trans. Audio Electroacoust. 15(2), 1967), one by one, so that
/// the power of a band comes with its standard error. Segments of noise that overlap by half under this window are so little alike (their
/// powers correlate by 1/36) that each counts nearly whole.
/// </summary>
public sealed class SegmentSpectra
{
    // Correlation of the powers of neighbours, from the window's own overlap: (Σ w(n)·w(n + N/2) ÷ Σ w²)² = (1/6)².
    private const double NeighbourCorrelation = 1.0 / 36;

    private readonly float[][] _power;

    private SegmentSpectra(float[][] power, double binHz) => (_power, BinHz) = (power, binHz);

    public int SegmentCount => _power.Length;

    /// <summary>Distance of two bins.</summary>
    public double BinHz { get; }

    /// <summary>Bins of each spectrum, from 0 Hz to half the sample rate.</summary>
    public int BinCount => _power[0].Length;

    /// <summary>Takes the spectra of as many segments as fit; of one, padded with silence, where the signal is shorter.</summary>
    /// <param name="signal">At least one frame.</param>
    /// <param name="sampleRateHz">Its rate.</param>
    /// <param name="segmentFrames">A power of two.</param>
    public static SegmentSpectra Of(ReadOnlySpan<float> signal, double sampleRateHz, int segmentFrames)
    {
        if (signal.IsEmpty)
            throw new ArgumentException("A signal of at least one frame.", nameof(signal));
        var transform = new RealTransform(segmentFrames);
        var window = new float[segmentFrames];
        Windows.Hann(window, WindowForm.Periodic);
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        var windowed = new float[segmentFrames];
        var hop = segmentFrames / 2;
        var power = new float[Math.Max(1, (signal.Length - hop) / hop)][];
        // Scaled so that the bins of a spectrum add up to the mean square: N·Σw² = N²·3/8, and all bins but the two ends count twice.
        var scale = 1 / (0.375 * segmentFrames * (double)Math.Min(segmentFrames, Math.Max(1, signal.Length)));
        for (var s = 0; s < power.Length; s++)
        {
            var part = signal[(s * hop)..Math.Min(signal.Length, s * hop + segmentFrames)];
            Array.Clear(windowed);
            for (var i = 0; i < part.Length; i++)
                windowed[i] = part[i] * window[i];
            transform.Forward(windowed, re, im);
            var bins = power[s] = new float[re.Length];
            for (var k = 0; k < bins.Length; k++)
                bins[k] = (float)((k == 0 || k == bins.Length - 1 ? 1 : 2) * scale * ((double)re[k] * re[k] + (double)im[k] * im[k]));
        }
        return new SegmentSpectra(power, sampleRateHz / segmentFrames);
    }

    /// <summary>One weight for each bin: how much of it lies between two frequencies, times a gain of power by frequency.</summary>
    public double[] Weights(double fromHz, double toHz, Func<double, double>? powerGainAtHz = null)
    {
        var weights = new double[BinCount];
        var first = Math.Clamp((int)(fromHz / BinHz - 0.5), 0, BinCount - 1);
        for (var k = first; k < BinCount && (k - 0.5) * BinHz < toHz; k++)
        {
            var share = (Math.Min(toHz, (k + 0.5) * BinHz) - Math.Max(fromHz, (k - 0.5) * BinHz)) / BinHz;
            weights[k] = Math.Clamp(share, 0, 1) * (powerGainAtHz?.Invoke(k * BinHz) ?? 1);
        }
        return weights;
    }

    /// <summary>Power under the weights, the mean over all segments, and the standard error of that mean (not a number for one segment).</summary>
    public (double Mean, double StandardError) Power(double[] weights)
    {
        var (first, last) = (Array.FindIndex(weights, w => w != 0), Array.FindLastIndex(weights, w => w != 0));
        if (first < 0)
            return (0, SegmentCount > 1 ? 0 : double.NaN);
        var (sum, squares) = (0.0, 0.0);
        foreach (var bins in _power)
        {
            var power = 0.0;
            for (var k = first; k <= last; k++)
                power += weights[k] * bins[k];
            sum += power;
            squares += power * power;
        }
        var n = SegmentCount;
        var mean = sum / n;
        var variance = Math.Max(0, squares - n * mean * mean) / (n - 1);
        return (mean, Math.Sqrt(variance / n * (1 + 2 * NeighbourCorrelation)));
    }

    /// <summary>Mean power of each bin over all segments.</summary>
    public double[] Mean()
    {
        var mean = new double[BinCount];
        foreach (var bins in _power)
        {
            for (var k = 0; k < mean.Length; k++)
                mean[k] += bins[k];
        }
        for (var k = 0; k < mean.Length; k++)
            mean[k] /= SegmentCount;
        return mean;
    }
}
