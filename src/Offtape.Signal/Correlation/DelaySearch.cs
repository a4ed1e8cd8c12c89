namespace Offtape.Signal;

/// <summary>The coarse half of the delay estimator: the weighted correlation on a grid of half frames over the whole search range.</summary>
internal sealed class DelaySearch
{
    // Two values a frame: the widest band then lies at most a quarter of a frame from its peak, well inside Newton's reach.
    private const int Oversampling = 2;

    private readonly DelayEstimatorOptions options;
    private readonly RealTransform forward;
    private readonly RealTransform inverse;
    private readonly float[] fade;
    private readonly float[] weights;
    private readonly float[] padded;
    private readonly float[] xRe;
    private readonly float[] xIm;
    private readonly float[] yRe;
    private readonly float[] yIm;
    private readonly float[] correlation;
    private readonly bool[] taken;

    public DelaySearch(DelayEstimatorOptions options)
    {
        this.options = options;
        forward = new RealTransform(SpectralWeights.TransformLengthFor(options.WindowFrames + 2 * options.MaxLagFrames));
        inverse = new RealTransform(Oversampling * forward.Length);
        fade = DelayRefinement.Fade(options.WindowFrames, options.EdgeTaper);
        weights = SpectralWeights.Band(options, forward.Length);
        padded = new float[forward.Length];
        xRe = new float[forward.BinCount];
        xIm = new float[forward.BinCount];
        yRe = new float[inverse.BinCount];
        yIm = new float[inverse.BinCount];
        correlation = new float[inverse.Length];
        taken = new bool[2 * options.MaxLagFrames * Oversampling + 1];
    }

    public void Correlate(ReadOnlySpan<float> reference, ReadOnlySpan<float> other)
    {
        padded.AsSpan().Clear();
        for (var i = 0; i < reference.Length; i++)
            padded[i] = reference[i] * fade[i];
        forward.Forward(padded, xRe, xIm);
        padded.AsSpan().Clear();
        other.CopyTo(padded);
        yRe.AsSpan(forward.BinCount).Clear();
        yIm.AsSpan(forward.BinCount).Clear();
        forward.Forward(padded, yRe, yIm);
        SpectralWeights.CrossSpectrum(xRe, xIm, yRe, yIm, weights, options.WhiteningExponent);
        // Grid point i is the lag i ÷ Oversampling − MaxLagFrames: the other signal begins MaxLagFrames before the reference.
        inverse.Inverse(yRe, yIm, correlation);
        taken.AsSpan().Clear();
    }

    /// <summary>The highest local peak that was not yet taken; false when none is left.</summary>
    public bool TakeHighest(out double lagFrames, out int polarity)
    {
        var (best, height) = (-1, 0f);
        for (var i = 1; i < taken.Length - 1; i++)
        {
            var value = options.UprightOnly ? correlation[i] : Math.Abs(correlation[i]);
            if (value <= height || taken[i])
                continue;
            var sign = correlation[i] < 0 ? -1 : 1;
            if (sign * correlation[i - 1] > value || sign * correlation[i + 1] > value)
                continue;
            (best, height) = (i, value);
        }
        if (best < 0)
        {
            (lagFrames, polarity) = (0, 1);
            return false;
        }
        // Neighbours of equal height are the same peak.
        taken[best] = taken[best - 1] = taken[best + 1] = true;
        lagFrames = (double)best / Oversampling - options.MaxLagFrames;
        polarity = correlation[best] < 0 ? -1 : 1;
        return true;
    }
}
