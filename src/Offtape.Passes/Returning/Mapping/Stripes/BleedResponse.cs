namespace Offtape.Passes.Mapping;

/// <summary>How the stripe is heard on another channel: a complex response at sixth-octave bands, smooth between them, nothing beyond.</summary>
internal sealed class BleedResponse
{
    private const double LowHz = 250;
    private const double HighHz = 10_800;

    internal static int BandCount { get; } = (int)(6 * Math.Log2(HighHz / LowHz)) + 1;

    internal required double[] Re { get; init; }

    internal required double[] Im { get; init; }

    /// <summary>The band of a frequency; −1 outside.</summary>
    internal static int BandOf(double hertz)
    {
        var band = (int)Math.Floor(6 * Math.Log2(Math.Max(hertz, 1) / LowHz));
        return band >= 0 && band < BandCount ? band : -1;
    }

    /// <summary>At the bins of a transform.</summary>
    internal (float[] Re, float[] Im) Sampled(int binCount, double rateHz)
    {
        var (re, im) = (new float[binCount], new float[binCount]);
        for (var k = 1; k < binCount; k++)
        {
            var position = 6 * Math.Log2(k * rateHz / (2.0 * (binCount - 1)) / LowHz) - 0.5;
            var i = (int)Math.Floor(position);
            var f = position - i;
            (re[k], im[k]) = ((float)((1 - f) * At(Re, i) + f * At(Re, i + 1)), (float)((1 - f) * At(Im, i) + f * At(Im, i + 1)));
        }
        return (re, im);
    }

    private static double At(double[] values, int i) => i >= 0 && i < values.Length ? values[i] : 0;
}
