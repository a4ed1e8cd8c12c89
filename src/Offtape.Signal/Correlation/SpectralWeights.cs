using System.Numerics;
using System.Runtime.CompilerServices;

namespace Offtape.Signal;

/// <summary>The weights of generalised cross-correlation: a band with soft edges, and partial whitening.</summary>
internal static class SpectralWeights
{
    // A third of an octave: steep enough to keep out what stands beyond, soft enough that the peak has no long ringing.
    private static readonly double EdgeRatio = Math.Pow(2, 1.0 / 3);

    /// <summary>The transform for so many frames: never so short that its bins do not fill a vector.</summary>
    public static int TransformLengthFor(int frameCount) => TransformLength.AtLeast(Math.Max(4 * Vector<float>.Count, frameCount));

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

    /// <summary>G = weight · conj(X)·Y ÷ |X·Y|^β, written over Y. Worked in double: the squares of quiet signals leave the range of a float.</summary>
    public static void CrossSpectrum(
        ReadOnlySpan<float> xRe,
        ReadOnlySpan<float> xIm,
        Span<float> yRe,
        Span<float> yIm,
        ReadOnlySpan<float> weights,
        double exponent
    )
    {
        // Whole vectors only: the last bin, the Nyquist frequency, has no weight, and the others are a power of two in number.
        var count = weights.Length - 1;
        (yRe[count], yIm[count]) = (0, 0);
        for (var k = 0; k < count; k += Vector<float>.Count)
        {
            Vector.Widen(new Vector<float>(xRe[k..]), out var xrLow, out var xrHigh);
            Vector.Widen(new Vector<float>(xIm[k..]), out var xiLow, out var xiHigh);
            Vector.Widen(new Vector<float>(yRe[k..]), out var yrLow, out var yrHigh);
            Vector.Widen(new Vector<float>(yIm[k..]), out var yiLow, out var yiHigh);
            Vector.Widen(new Vector<float>(weights[k..]), out var weightLow, out var weightHigh);
            var (reLow, imLow) = Weigh(xrLow, xiLow, yrLow, yiLow, weightLow, exponent);
            var (reHigh, imHigh) = Weigh(xrHigh, xiHigh, yrHigh, yiHigh, weightHigh, exponent);
            Vector.Narrow(reLow, reHigh).CopyTo(yRe[k..]);
            Vector.Narrow(imLow, imHigh).CopyTo(yIm[k..]);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (Vector<double> Re, Vector<double> Im) Weigh(
        Vector<double> xRe,
        Vector<double> xIm,
        Vector<double> yRe,
        Vector<double> yIm,
        Vector<double> weight,
        double exponent
    )
    {
        var re = xRe * yRe + xIm * yIm;
        var im = xRe * yIm - xIm * yRe;
        var power = re * re + im * im;
        // |C|^−β from |C|², with the usual exponents spared the general power.
        var scale = exponent switch
        {
            0 => weight,
            0.5 => weight / Vector.SquareRoot(Vector.SquareRoot(power)),
            1 => weight / Vector.SquareRoot(power),
            _ => weight * Vector.Exp(Vector.Log(power) * (-0.5 * exponent)),
        };
        scale = Vector.ConditionalSelect(Vector.GreaterThan(power, Vector<double>.Zero), scale, Vector<double>.Zero);
        return (re * scale, im * scale);
    }

    private static double Rise(double value, double from, double to) =>
        value <= from ? 0
        : value >= to ? 1
        : 0.5 - 0.5 * Math.Cos(Math.PI * (value - from) / (to - from));
}
