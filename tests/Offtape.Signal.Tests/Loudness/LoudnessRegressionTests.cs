using Offtape.Testing;

namespace Offtape.Signal.Tests.Loudness;

/// <summary>
/// Regression, a question apart from conformance: do the readings change? The values are our own meter's, to 1e-6 (processors differ in
/// the last bits of sums). A deliberate change updates them, with its reason in the change log.
/// </summary>
public sealed class LoudnessRegressionTests
{
    [Theory]
    [InlineData("steps", -24.4201913, 13.0000015, -22.9932887, -22.9932947, -23.0000004)]
    [InlineData("noise", -5.8733240, 3.5654447, -3.8260923, -5.1003914, 0.3713081)]
    [InlineData("surround at 44.1 kHz", -1.7117270, 0.8881606, 0.6406685, -1.5143296, 0.2935589)]
    public void Readings_are_what_they_were(string signal, double integrated, double range, double momentary, double shortTerm, double peak)
    {
        var meter = Measure(signal);
        double[] wanted = [integrated, range, momentary, shortTerm, peak];
        double[] got = [meter.IntegratedLufs, meter.LoudnessRangeLu, meter.MomentaryMaxLufs, meter.ShortTermMaxLufs, meter.TruePeakDbtp];
        for (var i = 0; i < wanted.Length; i++)
            if (!(Math.Abs(wanted[i] - got[i]) <= 1e-6))
                throw new InvalidOperationException($"\"{signal}\" now reads {string.Join(", ", got.Select(v => v.ToString("F7")))}.");
    }

    private static LoudnessMeter Measure(string signal)
    {
        if (signal == "steps")
            return Metered(2, 48_000, EbuSignals.Stereo(48_000, (-36, 5), (-23, 12), (-50, 4), (-30, 6.05)));
        var random = new Random(77);
        var isNoise = signal == "noise";
        var frames = new float[isNoise ? 2 * 48_000 * 8 : 6 * 44_100 * 5];
        for (var i = 0; i < frames.Length; i++)
            frames[i] = (float)((random.NextDouble() - 0.5) * (0.1 + Math.Abs(Math.Sin(i * 7e-6))));
        return isNoise ? Metered(2, 48_000, frames) : Metered(6, 44_100, frames);
    }

    private static LoudnessMeter Metered(int channelCount, int sampleRateHz, float[] frames)
    {
        var meter = new LoudnessMeter(channelCount, sampleRateHz);
        meter.Add(frames);
        return meter;
    }
}
