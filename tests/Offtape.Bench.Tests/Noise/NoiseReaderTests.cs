using Offtape.Base;
using Offtape.Signal;
using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>Noise and hum of known power, by the integral over a white spectrum or by the lines themselves.</summary>
public sealed class NoiseReaderTests
{
    private const double NoiseRms = 1e-3;
    private static readonly MachineFacts Facts = new();

    /// <summary>
    /// White noise of variance σ² has σ²·Δf ÷ 24 kHz in a band; under a weighting, its integral. Ten seconds of 22 kHz know it within 0.02 dB
    /// (1/√(BT) = 0.2 %); the narrow bands at the low end do not, and say so.
    /// </summary>
    [Fact]
    public void White_noise_reads_what_its_integral_says_in_every_weighting_and_third_octave()
    {
        var capture = BenchRun.Of(["level", "silence"], c => Array.ForEach(c, x => BenchRun.AddNoise(x, NoiseRms, 3)));

        var findings = NoiseReader.Read(capture, Facts, CancellationToken.None);

        var density = NoiseRms * NoiseRms / (BenchRun.RateHz / 2.0);
        var weighted = 0.0;
        for (var hz = 22.4; hz < 22_400; hz += 0.5)
            weighted += 0.5 * density * AWeighting.PowerGainAt(hz);
        var unweightedDb = Conversions.PowerToDb(density * (22_400 - 22.4));
        Measured.Within(unweightedDb, findings.Only("noiseUnweighted", 1, "recorded silence").Value!.Value, 0.06);
        Measured.Within(Conversions.PowerToDb(weighted), findings.Only("noiseAWeighted", 1, "recorded silence").Value!.Value, 0.1);
        var operatingDb = Conversions.PowerToDb(BenchRun.Operating * BenchRun.Operating / 2);
        Measured.Within(operatingDb - unweightedDb, findings.Only("signalToNoiseUnweighted", 2).Value!.Value, 0.06);

        var spectrum = findings.Curve("noiseSpectrum", 1, "recorded silence");
        var outside = 0;
        for (var i = 0; i < spectrum.X.Length; i++)
        {
            var wanted = Conversions.PowerToDb(density * spectrum.X[i] * (Math.Pow(10, 0.05) - Math.Pow(10, -0.05)));
            outside += Math.Abs(spectrum.Y[i] - wanted) > spectrum.Uncertainty[i] ? 1 : 0;
            Measured.Within(wanted, spectrum.Y[i], 2 * spectrum.Uncertainty[i], $"{spectrum.X[i]:0} Hz");
        }
        // 95 in 100 within: of 30 bands more than five outside would happen once in a hundred.
        Measured.AtMost(5, outside, "third octaves outside their uncertainty");
    }

    /// <summary>The meter of BS.468-4 on a sine of 1 kHz reads its root mean square, so a silence that holds one reads it as noise.</summary>
    [Fact]
    public void A_tone_of_1_kHz_in_the_silence_reads_its_own_level_as_quasi_peak()
    {
        var capture = BenchRun.Of(["silence"], c => AddTone(c[0], 1000, 0.01));

        var reading = NoiseReader.Read(capture, Facts, CancellationToken.None).Only("noiseQuasiPeak", 1, "recorded silence");

        Measured.Within(Conversions.AmplitudeToDb(0.01 / Math.Sqrt(2)), reading.Value!.Value, 0.03);
    }

    /// <summary>Each line and their sum, in noise that lies 30 dB under the weakest of them in its own bandwidth; at 59.97 Hz, where the mains often is.</summary>
    [Fact]
    public void Hum_lines_read_their_own_levels_and_add_up()
    {
        double[] peaks = [2e-3, 3e-4, 9e-4, 2e-4, 5e-4, 2e-4, 4e-4];
        const double mainsHz = 59.97;
        var capture = BenchRun.Of(
            ["level", "silence"],
            channels =>
            {
                for (var h = 0; h < peaks.Length; h++)
                    AddTone(channels[0], (h + 1) * mainsHz, peaks[h]);
                BenchRun.AddNoise(channels[0], NoiseRms, 5);
            }
        );

        var findings = NoiseReader.Read(capture, Facts, CancellationToken.None);

        var lines = findings.Curve("humLines", 1, "recorded silence");
        Assert.Equal(peaks.Length, lines.X.Length);
        for (var h = 0; h < peaks.Length; h++)
        {
            Measured.Within((h + 1) * mainsHz, lines.X[h], 0.005 * (h + 1) + 0.02, "line in Hz");
            Measured.Within(
                Conversions.AmplitudeToDb(peaks[h] / BenchRun.Operating),
                lines.Y[h],
                Math.Max(0.05, 1.5 * lines.Uncertainty[h]),
                $"line {h + 1}"
            );
        }
        var sum = Conversions.PowerToDb(peaks.Sum(p => p * p) / (BenchRun.Operating * BenchRun.Operating));
        Measured.Within(sum, findings.Only("hum", 1, "recorded silence").Value!.Value, 0.06);
        Assert.Contains(findings.Notices, n => n.Code == "hum-hint");
    }

    /// <summary>Noise alone has no lines; the limit lies above what a line would need to be seen, and far under the noise itself.</summary>
    [Fact]
    public void Without_hum_there_is_a_limit_and_no_figure()
    {
        for (var seed = 1; seed <= 3; seed++)
        {
            var capture = BenchRun.Of(["level", "silence"], c => BenchRun.AddNoise(c[0], NoiseRms, seed));
            var reading = NoiseReader.Read(capture, Facts, CancellationToken.None).Only("hum", 1, "recorded silence");
            Assert.Null(reading.Value);
            Assert.NotNull(reading.Reason);
            // Noise in the 0.16 Hz of a 9.4 s Hann window: σ²·0.16/24000, and 14 times that for a line to stand out.
            var floorDb = Conversions.PowerToDb(NoiseRms * NoiseRms * 0.16 / 24_000 * 2 / (BenchRun.Operating * BenchRun.Operating));
            Assert.InRange(reading.AtMost!.Value, floorDb + 10, floorDb + 15);
        }
    }

    /// <summary>Before the signal the tape stands, then runs without being recorded on, 4 dB less noisy; behind it it stands again.</summary>
    [Fact]
    public void Tape_that_stands_and_blank_tape_are_told_apart_from_recorded_silence()
    {
        var sheet = BenchRun.Sheet("silence");
        const int lead = 10 * BenchRun.RateHz;
        var sound = BenchSignal.Render(sheet)[0];
        var frames = new float[lead + sound.Length + 4 * BenchRun.RateHz];
        sound.CopyTo(frames, lead);
        var noise = new float[frames.Length];
        BenchRun.AddNoise(noise, 1, 7);
        for (var i = 0; i < frames.Length; i++)
        {
            var gain =
                i < lead / 2 || i >= lead + sound.Length ? 0.05
                : i < lead ? Conversions.DbToAmplitude(-4)
                : 1;
            frames[i] += (float)(NoiseRms * gain * noise[i]);
        }
        var capture = BenchRun.Of(sheet, [frames], leadSeconds: 10);

        var findings = NoiseReader.Read(capture, Facts, CancellationToken.None);

        var recorded = findings.Only("noiseUnweighted", 1, "recorded silence").Value!.Value;
        Measured.Within(-4, findings.Only("noiseUnweighted", 1, "blank tape").Value!.Value - recorded, 0.1);
        Measured.Within(Conversions.AmplitudeToDb(0.05), findings.Only("noiseUnweighted", 1, "tape stopped").Value!.Value - recorded, 0.1);
        Assert.Contains(findings.Notices, n => n.Code == "quiet-stretches");
    }

    [Fact]
    public void What_was_not_heard_is_not_stated_and_says_why()
    {
        var capture = BenchRun.Of(["level"], _ => { });
        var findings = NoiseReader.Read(capture, Facts, CancellationToken.None);
        Assert.NotEmpty(findings.Readings);
        Assert.All(findings.Readings, r => Assert.True(r.Value is null && r.Reason!.Length > 0));

        var silent = BenchRun.Of(["silence"], _ => { });
        Assert.All(
            NoiseReader.Read(silent, Facts, CancellationToken.None).Readings,
            r => Assert.True(r.Value is null && r.Reason!.Length > 0)
        );
    }

    private static void AddTone(float[] channel, double hz, double peak)
    {
        for (var i = 0; i < channel.Length; i++)
            channel[i] += (float)(peak * Math.Sin(2 * Math.PI * hz * i / BenchRun.RateHz + hz));
    }
}
