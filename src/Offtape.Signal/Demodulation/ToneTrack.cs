namespace Offtape.Signal;

/// <summary>
/// One channel's tone before it is smoothed: steps of phase and levels, <see cref="ToneBand.RateHz"/> in a second, and where they mean
/// nothing.
/// </summary>
internal sealed class ToneTrack
{
    private ToneTrack(double[] deviationHz, double[] level, bool[] isGap, double amplitude) =>
        (DeviationHz, Level, IsGap, Amplitude) = (deviationHz, level, isGap, amplitude);

    /// <summary>Frequency against the band's, from one value to the next; as wide as the band.</summary>
    internal double[] DeviationHz { get; }

    /// <summary>Logarithm of the amplitude against its median.</summary>
    internal double[] Level { get; }

    /// <summary>The tone is gone, or something else is louder.</summary>
    internal bool[] IsGap { get; }

    /// <summary>Median peak of the tone; full scale is 1.</summary>
    internal double Amplitude { get; }

    /// <summary>Values that come of so many frames; 0 where they are too few.</summary>
    internal static int CountOf(int frameCount, ToneBand band) => Math.Max(0, (frameCount - band.Before.Length) / band.Step);

    internal static ToneTrack Of(ReadOnlySpan<float> samples, ToneBand band)
    {
        var count = CountOf(samples.Length, band);
        var (turn, amplitude) = (new double[count + 1], new double[count + 1]);
        Listen(samples, band, turn, amplitude);
        var deviation = new double[count];
        for (var i = 0; i < count; i++)
        {
            var step = turn[i + 1] - turn[i];
            deviation[i] = (step - Math.Round(step)) * band.RateHz;
        }
        var median = ToneGaps.MedianOf(amplitude);
        var level = new double[count];
        for (var i = 0; i < count; i++)
            level[i] = Math.Log(Math.Max(0.5 * (amplitude[i] + amplitude[i + 1]), 1e-9 * median + 1e-30) / Math.Max(median, 1e-30));
        return new(deviation, level, ToneGaps.Find(level, band), median);
    }

    /// <summary>Turns and amplitude of the tone about each value's middle frame, against a steady tone of the band's frequency.</summary>
    private static void Listen(ReadOnlySpan<float> samples, ToneBand band, double[] turns, double[] amplitude)
    {
        var taps = band.Before;
        var half = taps.Length / 2;
        var perFrame = band.FrequencyHz / band.SampleRateHz;
        var (cosine, sine) = (new float[taps.Length], new float[taps.Length]);
        for (var k = 0; k < taps.Length; k++)
        {
            var (s, c) = Math.SinCos(2 * Math.PI * perFrame * (k - half));
            (cosine[k], sine[k]) = ((float)(2 * taps[k] * c), (float)(-2 * taps[k] * s));
        }
        for (var i = 0; i < turns.Length; i++)
        {
            var block = samples.Slice(i * band.Step, taps.Length);
            double re = DotProduct.Of(block, cosine);
            double im = DotProduct.Of(block, sine);
            var steady = perFrame * i * band.Step;
            turns[i] = Math.Atan2(im, re) / (2 * Math.PI) - (steady - Math.Floor(steady));
            amplitude[i] = Math.Sqrt(re * re + im * im);
        }
    }
}
