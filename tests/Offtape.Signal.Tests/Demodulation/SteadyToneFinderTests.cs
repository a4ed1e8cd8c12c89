using Offtape.Testing;

namespace Offtape.Signal.Tests;

public sealed class SteadyToneFinderTests
{
    /// <summary>A tone of any frequency between two stretches of noise: to half of a look (43 ms at 48 kHz) on either side, its frequency to 2 Hz.</summary>
    [
        Theory,
        InlineData(305.0, 48_000),
        InlineData(440.0, 44_100),
        InlineData(3061.0, 48_000),
        InlineData(9950.0, 96_000),
        InlineData(1000.0, 22_050)
    ]
    public void A_tone_is_found_where_it_stands(double frequencyHz, int sampleRateHz)
    {
        var tone = new ModulatedTone
        {
            FrequencyHz = frequencyHz,
            SampleRateHz = sampleRateHz,
            Seconds = 8,
            SignalToNoiseDb = 30,
            Wobbles = [(1.1, 0.5, 0)],
        }.Make();
        var noise = Noise(3 * sampleRateHz, 0.1f);
        float[] all = [.. noise, .. tone, .. noise];
        var found = SteadyToneFinder.Find(all, sampleRateHz, 5)!.Value;
        Measured.Within(3, (double)found.StartFrame / sampleRateHz, 0.2, "start in seconds");
        Measured.Within(11, (double)found.EndFrameExcl / sampleRateHz, 0.2, "end in seconds");
        Measured.Within(frequencyHz, found.FrequencyHz, 2 + 0.005 * frequencyHz, "frequency in hertz");
        Measured.AtLeast(0.98, found.Share, "share of what sounds");
    }

    /// <summary>A sweep, noise, silence, two tones at once and a melody: none is a tone of five seconds.</summary>
    [Fact]
    public void What_is_no_tone_is_not_found()
    {
        const int rate = 48_000;
        float[] Of(Func<double, double> phase) =>
            [.. Enumerable.Range(0, 12 * rate).Select(i => (float)(0.3 * Math.Sin(phase((double)i / rate))))];
        Assert.Null(SteadyToneFinder.Find(Noise(12 * rate, 0.3f), rate, 5));
        Assert.Null(SteadyToneFinder.Find(new float[12 * rate], rate, 5));
        Assert.Null(SteadyToneFinder.Find(Of(t => 2 * Math.PI * 300 * (Math.Exp(t / 4) - 1) * 4), rate, 5));
        Assert.Null(SteadyToneFinder.Find(Of(t => 2 * Math.PI * 400 * Math.Pow(2, Math.Floor(t * 2) % 7 / 6) * t), rate, 5));
        var (a, b) = (Of(t => 2 * Math.PI * 700 * t), Of(t => 2 * Math.PI * 950 * t));
        Assert.Null(SteadyToneFinder.Find([.. a.Zip(b, (x, y) => x + y)], rate, 5));
        Assert.Null(SteadyToneFinder.Find(Of(t => 2 * Math.PI * 150 * t), rate, 5));
    }

    [Fact]
    public void A_short_tone_is_found_only_where_it_is_asked_for()
    {
        var tone = new ModulatedTone { Seconds = 3 }.Make();
        Assert.Null(SteadyToneFinder.Find(tone, 48_000, 5));
        Assert.NotNull(SteadyToneFinder.Find(tone, 48_000, 2.5));
        Assert.Null(SteadyToneFinder.Find([], 48_000, 2.5));
    }

    private static float[] Noise(int count, float peak)
    {
        var random = new Random(4);
        return [.. Enumerable.Range(0, count).Select(_ => peak * (2 * random.NextSingle() - 1))];
    }
}
