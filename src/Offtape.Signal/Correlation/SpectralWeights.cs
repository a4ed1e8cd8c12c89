namespace Offtape.Signal;

/// <summary>The weights of generalised cross-correlation: a band with soft edges, and partial whitening.</summary>
internal static class SpectralWeights
{
    // A third of an octave: steep enough to keep out what stands beyond, soft enough that the peak has no long ringing.
    private static readonly double EdgeRatio = Math.Pow(2, 1.0 / 3);

    /// <summary>One weight for each bin of a transform. 0 Hz and the Nyquist bin carry no delay and get none.</summary>
    public static float[] Band(DelayEstimatorOptions options, int transformLength)
    {
        var weights = new float[transformLength / 2 + 1];
        for (var k = 1; k < weights.Length - 1; k++)
        {
            var frequencyHz = k * options.SampleRateHz / transformLength;
            var weight = options.WeightAtHz?.Invoke(frequencyHz) ?? 1;
            if (options.LowHz > 0)
                weight *= Rise(frequencyHz, options.LowHz / EdgeRatio, options.LowHz);
            if (options.HighHz > 0)
                weight *= 1 - Rise(frequencyHz, options.HighHz, options.HighHz * EdgeRatio);
            weights[k] = (float)weight;
        }
        return weights;
    }

    /// <summary>G = weight · conj(X)·Y ÷ |X·Y|^β, written over Y.</summary>
    public static void CrossSpectrum(
        ReadOnlySpan<float> xRe,
        ReadOnlySpan<float> xIm,
        Span<float> yRe,
        Span<float> yIm,
        ReadOnlySpan<float> weights,
        double exponent
    )
    {
        for (var k = 0; k < weights.Length; k++)
        {
            double re = (double)xRe[k] * yRe[k] + (double)xIm[k] * yIm[k];
            double im = (double)xRe[k] * yIm[k] - (double)xIm[k] * yRe[k];
            var power = re * re + im * im;
            // |C|^−β from |C|², with the two usual exponents spared the general power.
            var scale =
                power <= 0 ? 0
                : exponent == 0 ? weights[k]
                : exponent == 1 ? weights[k] / Math.Sqrt(power)
                : exponent == 0.5 ? weights[k] / Math.Sqrt(Math.Sqrt(power))
                : weights[k] * Math.Pow(power, -0.5 * exponent);
            yRe[k] = (float)(re * scale);
            yIm[k] = (float)(im * scale);
        }
    }

    private static double Rise(double value, double from, double to) =>
        value <= from ? 0
        : value >= to ? 1
        : 0.5 - 0.5 * Math.Cos(Math.PI * (value - from) / (to - from));
}
