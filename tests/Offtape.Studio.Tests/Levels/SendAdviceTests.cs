using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Bench;
using Offtape.Testing;

namespace Offtape.Studio.Tests;

/// <summary>What is advised for a sound against closed forms: sines, noise and a known bend, whose answers need none of our code.</summary>
public sealed class SendAdviceTests : IDisposable
{
    private const int RateHz = 48_000;
    private readonly string _folder = Directory.CreateTempSubdirectory("offtape-levels").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    // A bend of tape's kind, 3 % third harmonic at about +4 dB; operating level comes out at operating level.
    private static readonly double Fundamental = Reports.Harmonic(x => Math.Tanh(0.45 * x), 1, 1);

    private static double Bend(double x) => Math.Tanh(0.45 * x) / Fundamental;

    private SoundProfile Profile(Func<int, double> sample, double seconds = 4)
    {
        var path = Path.Combine(_folder, "sound.wav");
        using (
            var writer = AudioWriter.Create(
                path,
                new AudioFormat(RateHz, 1, SampleEncoding.Float32),
                null,
                new WriteOptions { Replace = true }
            )
        )
        {
            writer.Write([.. Enumerable.Range(0, (int)(seconds * RateHz)).Select(i => (float)sample(i))]);
            writer.Complete();
        }
        return SoundMeter.Of(path, JobProgress.None, Cancellation);
    }

    private static double Sine(double hz, double peak, int i) => peak * Math.Sin(2 * Math.PI * hz * i / RateHz);

    /// <summary>A sine's peak stands 3.0103 dB over its root mean square, and all its energy in its own third octave.</summary>
    [Fact]
    public void A_sine_is_measured_as_what_it_is()
    {
        var profile = Profile(i => Sine(1000, 0.5, i));
        Measured.Within(-6.0206, profile.PeakDbfs, 1e-3, "peak in dBFS");
        Measured.Within(3.0103, profile.CrestDb, 2e-3, "crest in dB");
        Measured.Within(-6.0206, profile.LoudestDbfs, 2e-3, "loudest 10 ms as a sine");
        // The window of the spectrum spreads a line over some hertz; the band is 230 Hz wide.
        Measured.Within(1000, profile.MeanHz, 1, "middle of the spectrum in Hz");
        Measured.Within(-9.0309, profile.ThirdOctavesDbfs[0], 0.01, "its third octave");
        Measured.AtMost(-80, profile.ThirdOctavesDbfs[3], "another third octave");
    }

    /// <summary>Uniform noise: peak over root mean square √3, 4.77 dB; the band over 5.62 kHz of a flat spectrum to 24 kHz has 18.38⁄24 of it.</summary>
    [Fact]
    public void Noise_is_measured_as_what_it_is()
    {
        var random = new Random(3);
        var profile = Profile(_ => random.NextDouble() - 0.5, 20);
        Measured.Within(4.771, profile.CrestDb, 0.02, "crest in dB");
        // The loudest hundredth of stretches is louder than the mean: of 480 values each, a deviation of 4 %, and 2.3 of them at most.
        Measured.Within(-10.79 + 10 * Math.Log10(18.38 / 24.0) + 3.01 + 0.35, profile.TrebleDbfs, 0.25, "treble as a sine");
        Measured.Within(profile.RmsDbfs, 10 * Math.Log10(profile.Sizes.Shares().Sum(s => s.Share * s.Size * s.Size)), 0.01, "RMS by sizes");
    }

    /// <summary>
    /// A sine through a known bend: its total harmonic distortion by its Fourier sum, at the level that the bend brings out at −10, 0 and +6 dB.
    /// Tolerance 2 % of the distortion: the sizes are told in steps of a quarter of a decibel.
    /// </summary>
    [Fact]
    public void A_sine_through_a_known_bend_is_distorted_as_its_Fourier_sum_says()
    {
        var report = Reports.With(Reports.Staircase(Bend));
        var advice = SendAdvisor.Of(Profile(i => Sine(300, 0.25, i)), report);
        Assert.Equal(315, advice.CurveHz);
        foreach (var row in advice.Rows)
        {
            var peak = Math.Pow(10, row.SentDb!.Value / 20);
            Measured.Within(row.OutputDb, 20 * Math.Log10(Reports.Harmonic(Bend, peak, 1)), 0.02, $"output of \"{row.Name}\" in dB");
            Measured.Within(-12 + row.SentDb.Value, row.SendPeakDbfs!.Value, 0.01, "peak of the send in dBFS");
            var fundamental = Reports.Harmonic(Bend, peak, 1);
            var others = Math.Sqrt(Enumerable.Range(2, 20).Sum(n => Math.Pow(Reports.Harmonic(Bend, peak, n), 2)));
            Measured.Within(
                100 * others / fundamental,
                row.DistortionPercent!.Value,
                0.02 * 100 * others / fundamental + 0.003,
                $"distortion of \"{row.Name}\" in %"
            );
            Assert.Equal(0, row.ShareBeyond);
        }
        Measured.Within(0, advice.Rows[1].SentDb!.Value, 0.01, "dB at operating level");
    }

    /// <summary>An even part: x + 0.02·x² makes a second harmonic of 1 % at operating level, and nothing else.</summary>
    [Fact]
    public void A_second_harmonic_is_counted()
    {
        var report = Reports.With(Reports.Staircase(x => x + 0.02 * x * x));
        var at = SendAdvisor.Of(Profile(i => Sine(300, 0.25, i)), report).Rows[1];
        Measured.Within(1, at.DistortionPercent!.Value, 0.02, "distortion in %");
    }

    /// <summary>
    /// Two sines of one size through a cubic: what it adds has a closed form. With x = a(cos p + cos q), x − kx³ has 9/4·ka³ less at p and q, ka³·3/4 at the
    /// four intermodulation products and ka³/4 at the two third harmonics: √(4·9 + 2) ÷ 4 ÷ √2 of ka² against what is left.
    /// </summary>
    [Fact]
    public void Two_sines_make_the_products_of_a_cubic()
    {
        const double k = 0.02;
        var report = Reports.With(Reports.Staircase(x => x - k * x * x * x));
        // Periods that do not repeat within the sound, so that all phases meet.
        var advice = SendAdvisor.Of(Profile(i => Sine(301.7, 0.1, i) + Sine(417.3, 0.1, i)), report);
        var at = advice.Rows[1];
        var a = 0.1 * Math.Pow(10, (at.GainDb!.Value + 12) / 20);
        var wanted = 100 * k * a * a * Math.Sqrt(38) / 4 / Math.Sqrt(2) / (1 - 9.0 / 4 * k * a * a);
        Measured.Within(wanted, at.DistortionPercent!.Value, 0.03 * wanted, "distortion in %");
    }

    /// <summary>The curve out of a staircase is the curve that made it: within 0.5 % of 1, for its weights take 0.3 % of a fundamental for nothing.</summary>
    [Theory, InlineData(0.3), InlineData(0.45), InlineData(0.6)]
    public void A_curve_is_found_from_its_harmonics(double drive)
    {
        var curve = StaticCurve.Of(Reports.With(Reports.Staircase(x => Math.Tanh(drive * x))), 1, 315)!;
        for (var x = -3.16; x <= 3.16; x += 0.04)
            Measured.Within(Math.Tanh(drive * x), curve.OddAt(x), 0.005, $"curve at {x:0.00}");
        Measured.AtMost(0.03, curve.MisfitDb, "misfit in dB");
        Assert.True(curve.OddAt(20) >= curve.OddAt(4));
    }

    /// <summary>A level control brings every step out alike: no bend without memory does that.</summary>
    [Fact]
    public void A_level_control_is_no_bend()
    {
        var flat = Reports.Staircase(Bend).Select(c => c.Quantity == "outputLevel" ? c with { Y = [.. c.X.Select(x => x / 4)] } : c);
        Assert.Contains(
            SendAdvisor.Of(Profile(i => Sine(300, 0.25, i)), Reports.With(flat)).NotKnown,
            t => t.StartsWith("Whether the distortion is right", StringComparison.Ordinal)
        );
    }

    /// <summary>
    /// Arithmetic: 50 dB of operating level over noise, a sine at −10 dB: 40 dB. In the file it peaks at −12.04 dBFS, −15.05 RMS: noise at
    /// −55.05 dBFS.
    /// </summary>
    [Fact]
    public void Noise_lies_under_the_sound_by_what_the_report_says()
    {
        var report = Reports.With(
            [],
            Reports.Reading("signalToNoiseUnweighted", "dB", 50),
            Reports.Reading("signalToNoiseAWeighted", "dB", 53)
        );
        var advice = SendAdvisor.Of(Profile(i => Sine(1000, 0.25, i)), report);
        var under = advice.Rows[0];
        Measured.Within(40, under.NoiseUnderDb!.Value, 0.01, "dB under the sound");
        Measured.Within(43, under.WeightedNoiseUnderDb!.Value, 0.01, "dB, A-weighted");
        Measured.Within(-55.05, under.NoiseDbfs!.Value, 0.01, "dBFS");
        Measured.Within(40, under.NoiseUnderQuietDb!.Value, 0.1, "dB under its quietest tenth");
        Assert.Null(under.DistortionPercent);
        Assert.Null(under.TrebleLossDb);
        Assert.Contains(advice.NotKnown, t => t.StartsWith("Distortion", StringComparison.Ordinal));
        Assert.Contains(advice.NotKnown, t => t.StartsWith("Treble loss", StringComparison.Ordinal));
    }

    /// <summary>A tone at 10 kHz where the response is −3 dB loses 3 dB; as loud as a step that comes out 2 dB short it loses 2 more.</summary>
    [Fact]
    public void Treble_is_lost_by_response_and_by_its_own_loudness()
    {
        var hz = Enumerable.Range(-16, 30).Select(b => 1000 * Math.Pow(10, b / 10.0)).ToArray();
        double[] steps = [-30, -20, -10, 0];
        var report = Reports.With([
            Reports.Curve("response", "0 dB", "Hz", hz, [.. hz.Select(_ => -9.0)]),
            Reports.Curve("response", "−20 dB", "Hz", hz, [.. hz.Select(f => f > 5000 ? -3.0 : 0)]),
            Reports.Curve("outputLevel", "10 kHz", "dB", steps, [-31, -21, -13, -8]),
        ]);
        var advice = SendAdvisor.Of(Profile(i => Sine(10_000, 0.25, i)), report);
        Measured.Within(3, advice.Rows[0].TrebleLossDb!.Value, 0.02, "dB lost");
        // The quiet steps come out 1 dB short, that at −10 dB by 3.
        Measured.Within(2, advice.Rows[0].TrebleCompressionDb!.Value, 0.05, "dB squeezed");
        Assert.False(advice.Rows[0].IsTrebleBeyond);
        Assert.True(advice.Rows[2].IsTrebleBeyond);
    }

    [Fact]
    public void A_channel_that_the_report_lacks_and_a_silent_sound_are_refused()
    {
        var report = Reports.With(Reports.Staircase(Bend));
        Assert.Equal(ExitCode.Usage, Assert.Throws<Fault>(() => SendAdvisor.Of(Profile(i => Sine(300, 0.25, i)), report, 2)).ExitCode);
        Assert.Equal(ExitCode.InputUnreadable, Assert.Throws<Fault>(() => Profile(_ => 0)).ExitCode);
    }
}
