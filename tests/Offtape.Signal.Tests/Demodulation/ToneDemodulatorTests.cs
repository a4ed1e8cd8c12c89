using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>
/// Checks the demodulator against tones written from the integral of their frequency, so that the truth is a formula at every moment.
/// </summary>
public sealed class ToneDemodulatorTests
{
    /// <summary>
    /// Mean frequency over the same frames as the truth within 0.0005 % at 50 dB: the goal, and far above the bound: two ends of a phase known
    /// to 0.5 mrad over 20 s make 10⁻⁷ %.
    /// </summary>
    [Theory]
    [InlineData(3150, 48_000), InlineData(3150, 44_100), InlineData(3190.95, 96_000), InlineData(1000, 48_000), InlineData(9800, 44_100)]
    public void The_mean_is_that_of_the_formula(double frequencyHz, int sampleRateHz)
    {
        var tone = new ModulatedTone
        {
            FrequencyHz = frequencyHz,
            SampleRateHz = sampleRateHz,
            Seconds = 20,
            SignalToNoiseDb = 50,
            Wobbles = [(0.7, 0.15, 1), (6.3, 0.1, 0), (61, 0.02, 2)],
        };
        // The band stands beside the tone, as it does when a tone is searched for.
        var curve = Demodulated(tone, frequencyHz * 1.001);
        var truth = Enumerable.Range(0, curve.FrequencyHz.Length).Average(i => tone.DeviationPercentAt(Moment(curve, i)));
        Measured.Within(truth, (curve.FrequencyHz.Average() / frequencyHz - 1) * 100, 0.00002, "mean in per cent");
        Assert.Equal(0, curve.GapSeconds);
    }

    /// <summary>Hum at −40 dB, 20 dropouts, 8 clicks, and a tone that is 2.5 % off: the goal is 0.005 %.</summary>
    [Fact]
    public void Hum_dropouts_clicks_and_a_wrong_nominal_move_the_mean_by_less_than_five_thousandths_of_a_per_cent()
    {
        var tone = Troubled() with { FrequencyHz = 3150 * 1.025 };
        var samples = tone.Make();
        var found = SteadyToneFinder.Find(samples, tone.SampleRateHz, 5)!.Value;
        var curve = ToneDemodulator.Demodulate([samples.AsMemory()], tone.SampleRateHz, found.FrequencyHz)!;
        var truth = Enumerable.Range(0, curve.FrequencyHz.Length).Average(i => tone.DeviationPercentAt(Moment(curve, i)));
        Measured.Within(truth, (curve.FrequencyHz.Average() / tone.FrequencyHz - 1) * 100, 0.0005, "mean in per cent");
    }

    /// <summary>
    /// Two channels that run apart by 0.001 %, as tape does that climbs across the heads, one of them with half the noise and the other with a
    /// dropout of 60 ms every second: the mean of both is the mean of what they run at, to 1e-6 % (two phases known to a milliradian over 12 s make less).
    /// </summary>
    [Fact]
    public void Channels_count_alike_in_what_is_slow()
    {
        var first = new ModulatedTone
        {
            Seconds = 12,
            SignalToNoiseDb = 60,
            Seed = 1,
        };
        var second = first with { FrequencyHz = 3150 * 1.00001, SignalToNoiseDb = 54, Seed = 2 };
        var worn = second.Make();
        for (var dropout = 1; dropout < 12; dropout++)
            worn.AsSpan(dropout * second.SampleRateHz, second.SampleRateHz * 60 / 1000).Clear();
        var curve = ToneDemodulator.Demodulate([first.Make().AsMemory(), worn.AsMemory()], first.SampleRateHz, 3150)!;
        Measured.Within(0.0005, (curve.AlikeHz.Average() / 3150 - 1) * 100, 0.000001, "mean of both in per cent");
        // By noise alone it is that of the better one.
        Assert.InRange((curve.FrequencyHz.Average() / 3150 - 1) * 100, 0, 0.0003);
    }

    /// <summary>Modulation of each rate keeps its size to a part in a thousand up to 200 Hz: the promise of the band.</summary>
    [Theory, InlineData(0.5), InlineData(4.0), InlineData(40.0), InlineData(120.0), InlineData(195.0)]
    public void The_curve_is_the_modulation(double rateHz)
    {
        var tone = new ModulatedTone { Seconds = 6, Wobbles = [(rateHz, 0.3, 0.5)] };
        var curve = Demodulated(tone, 3150);
        var worst = 0.0;
        for (var i = 0; i < curve.FrequencyHz.Length; i++)
            worst = Math.Max(worst, Math.Abs((curve.FrequencyHz[i] / 3150 - 1) * 100 - tone.DeviationPercentAt(Moment(curve, i))));
        Measured.AtMost(0.3e-3, worst, "largest error in per cent of speed");
    }

    /// <summary>
    /// White noise of known density: N₀ of 1/(SNR · 9900 Hz) against the tone's power is the one-sided density of its phase (Rice 1944).
    /// 5 %: some hundred segments of some hundred bins scatter by 1 %, and the smaller of two is taken.
    /// </summary>
    [Theory, InlineData(30.0), InlineData(50.0), InlineData(70.0)]
    public void The_noise_is_that_which_was_added(double signalToNoiseDb)
    {
        var curve = Demodulated(new ModulatedTone { Seconds = 20, SignalToNoiseDb = signalToNoiseDb }, 3150);
        var wanted = Math.Pow(10, -signalToNoiseDb / 10) / 9900;
        Measured.Within(1, curve.PhaseNoiseDensity / wanted, 0.05, "density against the noise added");
        var noise = curve.DrawNoise(3);
        var read = Demodulated(
            new ModulatedTone
            {
                Seconds = 20,
                SignalToNoiseDb = signalToNoiseDb,
                Seed = 5,
            },
            3150
        ).FrequencyHz;
        Measured.Within(1, Rms(noise) / Rms([.. read.Select(f => f - 3150)]), 0.05, "drawn noise against real noise");
    }

    /// <summary>Scrape flutter above the band moves the phase and leaves the level alone; it must not be taken for noise, which moves both.</summary>
    [Fact]
    public void Flutter_above_the_band_is_not_noise()
    {
        var quiet = new ModulatedTone { Seconds = 10, SignalToNoiseDb = 50 };
        var scraping = quiet with { Wobbles = [.. Enumerable.Range(0, 25).Select(k => (270.0 + 9.7 * k, 0.02, 1.0 * k))] };
        var (a, b) = (Demodulated(quiet, 3150).PhaseNoiseDensity, Demodulated(scraping, 3150).PhaseNoiseDensity);
        Measured.Within(1, b / a, 0.1, "density with scrape against without");
    }

    [Fact]
    public void Dropouts_and_clicks_are_gaps_and_nothing_else_is()
    {
        var tone = Troubled();
        var curve = Demodulated(tone, 3150);
        foreach (var (at, _, depthDb) in tone.Dropouts)
            Assert.Equal(depthDb > 12, IsGapNear(curve, at));
        foreach (var at in tone.ClicksAtSeconds)
            Assert.True(IsGapNear(curve, at), $"the click at {at} s is not marked");
        var allowed = tone.Dropouts.Sum(d => 2 * d.LengthSeconds + 0.01) + tone.ClicksAtSeconds.Count * 0.02;
        Measured.AtMost(allowed, curve.GapSeconds, "seconds marked");
    }

    /// <summary>
    /// Tone and noise fade together, as where the tape leaves the head: no click, no noise against the tone, and a gap by its depth alone, from
    /// 10 dB on.
    /// </summary>
    [Theory, InlineData(7.0, false), InlineData(16.0, true)]
    public void A_slow_dropout_is_a_gap_by_its_depth(double depthDb, bool isGap)
    {
        var samples = new ModulatedTone { Seconds = 6, SignalToNoiseDb = 60 }.Make();
        for (var i = 0; i < samples.Length; i++)
        {
            var x = Math.Clamp((i / 48_000.0 - 3.2) / 0.15, -1, 1);
            samples[i] *= (float)Math.Pow(10, -depthDb * (0.5 + 0.5 * Math.Cos(Math.PI * x)) / 20);
        }
        var curve = ToneDemodulator.Demodulate([samples.AsMemory()], 48_000, 3150)!;
        Assert.Equal(isGap, IsGapNear(curve, 3.2));
    }

    [Fact]
    public void Where_one_channel_has_a_gap_the_other_leads()
    {
        var left = new ModulatedTone
        {
            Seconds = 8,
            SignalToNoiseDb = 50,
            Wobbles = [(3, 0.2, 0)],
            Dropouts = [(2, 0.05, 40)],
        };
        var right = left with { Seed = 9, Dropouts = [(5, 0.05, 40)] };
        var curve = ToneDemodulator.Demodulate([left.Make().AsMemory(), right.Make().AsMemory()], 48_000, 3150)!;
        Assert.Equal(0, curve.GapSeconds);
        var worst = 0.0;
        for (var i = 0; i < curve.FrequencyHz.Length; i++)
            worst = Math.Max(worst, Math.Abs((curve.FrequencyHz[i] / 3150 - 1) * 100 - left.DeviationPercentAt(Moment(curve, i))));
        Measured.AtMost(0.02, worst, "largest error in per cent");
        var alone = Demodulated(left, 3150);
        Measured.Within(0.5, curve.PhaseNoiseDensity / alone.PhaseNoiseDensity, 0.08, "noise of two against that of one");
    }

    [Fact]
    public void A_silent_channel_takes_no_part()
    {
        var tone = new ModulatedTone { Seconds = 6, SignalToNoiseDb = 60 };
        var samples = tone.Make();
        var curve = ToneDemodulator.Demodulate([samples.AsMemory(), new float[samples.Length]], 48_000, 3150)!;
        Measured.Within(3150, curve.FrequencyHz.Average(), 1e-5, "mean in hertz");
    }

    [Fact]
    public void Too_little_for_a_curve_gives_none() => Assert.Null(ToneDemodulator.Demodulate([new float[2000].AsMemory()], 48_000, 3150));

    private static double Moment(ToneCurve curve, int index) => curve.StartSeconds + index / curve.RateHz;

    private static bool IsGapNear(ToneCurve curve, double seconds) =>
        curve.IsGap.AsSpan((int)((seconds - curve.StartSeconds) * curve.RateHz) - 4, 9).Contains(true);

    private static ToneCurve Demodulated(ModulatedTone tone, double frequencyHz) =>
        ToneDemodulator.Demodulate([tone.Make().AsMemory()], tone.SampleRateHz, frequencyHz)!;

    private static double Rms(double[] values) => Math.Sqrt(values.Average(v => v * v));

    private static ModulatedTone Troubled()
    {
        var random = new Random(3);
        return new ModulatedTone
        {
            Seconds = 32,
            SignalToNoiseDb = 50,
            HumDb = -40,
            Wobbles = [(0.7, 0.15, 1), (6.3, 0.1, 0)],
            Dropouts =
            [
                .. Enumerable
                    .Range(0, 20)
                    .Select(i => (1 + i * 1.5 + 0.5 * random.NextDouble(), 0.01 + 0.04 * random.NextDouble(), i % 2 == 0 ? 6.0 : 20.0)),
            ],
            ClicksAtSeconds = [.. Enumerable.Range(0, 8).Select(i => 1.8 + 3 * i)],
        };
    }
}
