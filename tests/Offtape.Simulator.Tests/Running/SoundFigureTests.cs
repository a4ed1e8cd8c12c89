using Offtape.Testing;

namespace Offtape.Simulator.Tests;

/// <summary>
/// Measures a whole return and compares it with what the model states: the figures that the project's results are stated for. Everything
/// is measured from the audio by sums against sines and by averaged spectra.
/// </summary>
public sealed class SoundFigureTests
{
    private const int Rate = Listening.Rate;

    public static TheoryData<string> Presets => [.. MachinePresets.All.Select(m => m.Name)];

    private static MachineModel Named(string name) => MachinePresets.All.Single(m => m.Name == name);

    // A machine whose tape runs perfectly, so that a tone stays a tone.
    private static MachineModel Steady(string name) =>
        Named(name) with
        {
            Transport = new TransportModel { HeadDistanceMm = 5 },
            Dropouts = new DropoutModel(),
        };

    [Fact]
    public void Every_preset_has_a_name_of_its_own_and_all_three_kinds_are_there()
    {
        Assert.Equal(MachinePresets.All.Count, MachinePresets.All.Select(m => m.Name).Distinct().Count());
        Assert.Equal(3, MachinePresets.All.Select(m => m.Kind).Distinct().Count());
        Assert.Contains(
            MachinePresets.All,
            m => m is { Name: "Typical deck", Transport.WowFlutterPercent: 0.15, Noise.SignalToNoiseDb: 50, Sound.TrebleLimitHz: 14_000 }
        );
        Assert.Contains(
            MachinePresets.All,
            m => m is { Name: "Worn deck", Transport.WowFlutterPercent: 0.5, Noise.SignalToNoiseDb: 40, Sound.TrebleLimitHz: 9000 }
        );
    }

    /// <summary>Tolerance 0.25 dB: the head bump's skirt reaches 0.1 dB at 1 kHz, the level is read through the hiss.</summary>
    [Theory, MemberData(nameof(Presets))]
    public void Operating_level_in_is_operating_level_out(string name)
    {
        var model = Steady(name) with { CaptureOperatingLevelDbfs = -15 };
        var back = Run(model, [Listening.Sine(1000, -12, 2)], new RunOptions());
        Measured.Within(-15, Listening.ToneDb(Middle(back, 0, 1), 1000), 0.25, "level in dBFS");
        var louder = Run(model, [Listening.Sine(1000, -12, 2)], new RunOptions { CaptureGainDb = 6 });
        Measured.Within(-9, Listening.ToneDb(Middle(louder, 0, 1), 1000), 0.25, "level in dBFS after 6 dB more gain");
    }

    /// <summary>Low-level tones at 1 kHz and at the stated limit: 3 dB down (half power). Tolerance 0.15 dB: the level of 1 kHz itself.</summary>
    [Theory, MemberData(nameof(Presets))]
    public void Treble_is_three_decibels_down_at_the_stated_limit(string name)
    {
        var model = Steady(name) with { Noise = new NoiseModel() };
        var limit = model.Sound.TrebleLimitHz;
        var atLimit = Listening.ToneDb(Middle(Run(model, [Listening.Sine(limit, -40, 1)]), 0, 0.5), limit);
        var atMiddle = Listening.ToneDb(Middle(Run(model, [Listening.Sine(1000, -40, 1)]), 0, 0.5), 1000);
        Measured.Within(-10 * Math.Log10(2), atLimit - atMiddle, 0.15, "level at the limit in dB");
        var above = Listening.ToneDb(Middle(Run(model, [Listening.Sine(limit * 1.15, -40, 1)]), 0, 0.5), limit * 1.15);
        Measured.AtMost(-4.5, above - atMiddle, "level above the limit in dB");
    }

    /// <summary>
    /// Blank tape against operating level, RMS against RMS, 100 Hz to 10 kHz. Tolerance 0.3 dB: hum of the worn presets adds up to 0.2, and six
    /// seconds of noise are known to 0.03.
    /// </summary>
    [Theory, MemberData(nameof(Presets))]
    public void Noise_is_what_the_figure_says(string name)
    {
        var model = Steady(name);
        model = model with { Noise = model.Noise with { HumDb = double.NegativeInfinity } };
        var back = Run(model, [new float[6 * Rate]], new RunOptions { ReplayNumber = 3 });
        var operating = Math.Pow(10, -12 / 20.0) / Math.Sqrt(2);
        var noise = Listening.BandRms(back.Channels[0], 100, 10_000);
        Measured.Within(model.Noise.SignalToNoiseDb, 20 * Math.Log10(operating / noise), 0.3, "signal to noise in dB");
    }

    [Theory]
    [InlineData("Typical deck", -45)]
    [InlineData("Worn deck", -38)]
    public void Crosstalk_is_what_the_figure_says(string name, double crosstalkDb)
    {
        var model = Steady(name) with { Noise = new NoiseModel() };
        model = model with { Tracks = model.Tracks with { BalanceDb = 0 } };
        var back = Run(model, [Listening.Sine(1000, -12, 2), new float[2 * Rate]]);
        var difference = Listening.ToneDb(Middle(back, 1, 1), 1000) - Listening.ToneDb(Middle(back, 0, 1), 1000);
        Measured.Within(crosstalkDb, difference, 0.05, "crosstalk in dB");
    }

    /// <summary>Third harmonic of a 400 Hz tone raised until its output reaches the stated level: 3 %, tolerance 0.15 of it (the head bump's skirt).</summary>
    [Theory, InlineData("Typical deck"), InlineData("Harbour reel")]
    public void Overload_comes_where_the_model_says(string name)
    {
        var model = Steady(name) with { Noise = new NoiseModel() };
        var over = model.Sound.MaximumOutputLevelDb;
        var (low, high) = (over, over + 3);
        for (var i = 0; i < 9; i++)
        {
            var middle = (low + high) / 2;
            var level = Listening.ToneDb(Loud(middle), 400) + 12;
            (low, high) = level < over ? (middle, high) : (low, middle);
        }
        var stretch = Loud(low);
        var third = Listening.Tone(stretch, 1200).Peak / Listening.Tone(stretch, 400).Peak;
        Measured.Within(3, 100 * third, 0.15, "third harmonic in per cent");

        float[] Loud(double gainDb) =>
            Middle(Run(model, [Listening.Sine(400, -12, 0.5)], new RunOptions { RecordGainDb = gainDb, ClipsAtFullScale = false }), 0, 0.2)
                .ToArray();
    }

    /// <summary>Recorded at 120 µs and replayed at 70: −4.538 dB at 10 kHz, −1.187 at 1 kHz (IEC 60094-1 clause 15, arithmetic).</summary>
    [Theory, InlineData(1000, -1.187), InlineData(10_000, -4.538)]
    public void A_wrong_switch_is_heard_as_the_standards_formula_says(double frequencyHz, double differenceDb)
    {
        var right = Steady("Typical deck") with { Noise = new NoiseModel() };
        var wrong = right with
        {
            Sound = right.Sound with
            {
                RecordedWith = Tape.Equalisations.CassetteTypeOne,
                ReplayedWith = Tape.Equalisations.CassetteTypeTwo,
            },
        };
        var tone = new[] { Listening.Sine(frequencyHz, -40, 1) };
        var heard =
            Listening.ToneDb(Middle(Run(wrong, tone), 0, 0.5), frequencyHz)
            - Listening.ToneDb(Middle(Run(right, tone), 0, 0.5), frequencyHz);
        Measured.Within(differenceDb, heard, 0.02, "difference in dB");
    }

    [Fact]
    public void Treble_overloads_before_the_middle()
    {
        var model = Steady("Typical deck") with { Noise = new NoiseModel() };
        double Compression(double frequency)
        {
            var quiet = Listening.ToneDb(Middle(Run(model, [Listening.Sine(frequency, -42, 0.5)]), 0, 0.2), frequency);
            var loud = Listening.ToneDb(Middle(Run(model, [Listening.Sine(frequency, -6, 0.5)]), 0, 0.2), frequency);
            return quiet + 36 - loud;
        }
        Measured.AtLeast(Compression(400) + 2, Compression(8000), "compression at 8 kHz in dB");
    }

    /// <summary>Balance −1.2 dB and azimuth 45 µs of the worn deck, from level and phase of a tone on both tracks.</summary>
    [Fact]
    public void Balance_and_azimuth_are_what_the_model_says()
    {
        var model = Steady("Worn deck") with { Noise = new NoiseModel() };
        model = model with { Tracks = model.Tracks with { CrosstalkDb = double.NegativeInfinity, DelayWanderMicroseconds = 0 } };
        var tone = Listening.Sine(1000, -24, 2);
        var back = Run(model, [tone, tone]);
        var from = (int)((back.TruthPerChannel[0].CaptureAt(1) - 0.5) * Rate);
        var left = Listening.Tone(back.Channels[0].AsSpan(from, Rate), 1000);
        var right = Listening.Tone(back.Channels[1].AsSpan(from, Rate), 1000);
        Measured.Within(-1.2, 20 * Math.Log10(right.Peak / left.Peak), 0.01, "balance in dB");
        var lateMicroseconds = Math.IEEERemainder(left.Phase - right.Phase, 2 * Math.PI) / (2 * Math.PI * 1000) * 1e6;
        Measured.Within(45, lateMicroseconds, 0.02, "second channel late by, in µs");
        Measured.Within(
            45e-6,
            back.TruthPerChannel[1].CaptureAt(1) - back.TruthPerChannel[0].CaptureAt(1),
            1e-11,
            "truth of the second channel"
        );
    }

    [Fact]
    public void Azimuth_wanders_by_what_the_model_says()
    {
        var model = MachinePresets.WornDeck with { Dropouts = new DropoutModel() };
        var difference = new List<double>();
        for (ulong seed = 1; seed <= 6; seed++)
        {
            var back = new SimulatedMachine(model, seed).Run([new float[40 * 8000], new float[40 * 8000]], 8000);
            for (var t = 0.0; t < 40; t += 0.1)
                difference.Add((back.TruthPerChannel[1].CaptureAt(t) - back.TruthPerChannel[0].CaptureAt(t)) * 1e6);
        }
        var mean = difference.Average();
        // 240 s of a wander with a corner of 0.4 Hz hold some 150 independent values: mean within 3·6/√150, deviation within 3·6/√300.
        Measured.Within(45, mean, 1.5, "mean delay in µs");
        Measured.Within(6, Math.Sqrt(difference.Average(d => (d - mean) * (d - mean))), 1.05, "wander in µs RMS");
    }

    /// <summary>The envelope of a steady tone through dropouts: depth in the middle, and half the depth at half the length, within 0.2 dB.</summary>
    [Fact]
    public void Dropouts_are_where_and_as_deep_as_the_truth_says()
    {
        var model = Steady("Worn deck") with
        {
            Noise = new NoiseModel(),
            Dropouts = MachinePresets.WornDeck.Dropouts with { PerMinute = 16 },
        };
        model = model with { Tracks = new TrackModel() };
        var tone = Listening.Sine(4000, -24, 45);
        var back = Run(model, [tone, tone]);
        Measured.AtLeast(10, back.Dropouts.Count, "number of dropouts in two channels of 45 s at sixteen a minute");
        Measured.AtMost(44, back.Dropouts.Count, "number of dropouts");
        var full = Listening.ToneDb(Middle(back, 0, 0.05), 4000);
        var looked = 0;
        foreach (var dropout in back.Dropouts)
        {
            Assert.InRange(dropout.LengthMilliseconds, 5, 60);
            Assert.InRange(dropout.DepthDb, 3, 20);
            var isAlone = back.Dropouts.All(d =>
                d == dropout || d.Channel != dropout.Channel || Math.Abs(d.CaptureSeconds - dropout.CaptureSeconds) > 0.2
            );
            // A tone is judged over one millisecond: long dropouts only, so that the level does not move much within it.
            if (!isAlone || dropout.LengthMilliseconds < 25)
                continue;
            looked++;
            Measured.Within(dropout.DepthDb, full - LevelAt(dropout.CaptureSeconds), 0.2, "depth in dB");
            var half = dropout.LengthMilliseconds / 2000;
            Measured.Within(dropout.DepthDb / 2, full - LevelAt(dropout.CaptureSeconds - half), 0.3, "half of the depth, before");
            Measured.Within(dropout.DepthDb / 2, full - LevelAt(dropout.CaptureSeconds + half), 0.3, "half of the depth, after");
            Measured.Within(dropout.CaptureSeconds, back.TruthPerChannel[dropout.Channel].CaptureAt(dropout.SendSeconds), 1e-9, "place");

            double LevelAt(double seconds) => Listening.ToneDb(back.Channels[dropout.Channel].AsSpan((int)(seconds * Rate) - 24, 48), 4000);
        }
        Measured.AtLeast(4, looked, "dropouts looked at");
    }

    /// <summary>Dropouts are on the tape: a second replay has the same ones, and at double speed they pass in half of the time.</summary>
    [Fact]
    public void Dropouts_belong_to_the_tape()
    {
        var model = Steady("Worn deck") with { Dropouts = MachinePresets.WornDeck.Dropouts with { PerMinute = 40 } };
        var tape = new SimulatedMachine(model, 2).Record([new float[30 * 8000], new float[30 * 8000]], 8000);
        var first = tape.Replay();
        var second = tape.Replay(new RunOptions { ReplayNumber = 2, ReplaySpeedRatio = 2 });
        Assert.NotEmpty(first.Dropouts);
        Assert.Equal(
            first.Dropouts.Select(d => (d.Channel, d.SendSeconds, d.DepthDb)),
            second.Dropouts.Select(d => (d.Channel, d.SendSeconds, d.DepthDb))
        );
        foreach (var (slow, fast) in first.Dropouts.Zip(second.Dropouts))
            Measured.Within(0.5, fast.LengthMilliseconds / slow.LengthMilliseconds, 1e-9, "length at double speed");
    }

    [Fact]
    public void Hum_is_what_the_model_says()
    {
        var model = Steady("Typical deck") with
        {
            Noise = new NoiseModel { HumDb = -45, HumHz = 50 },
        };
        var back = Run(model, [new float[4 * Rate]]);
        var operating = Math.Pow(10, -12 / 20.0) / Math.Sqrt(2);
        Measured.Within(-45, 20 * Math.Log10(Listening.Rms(back.Channels[0].AsSpan(0, 4 * Rate)) / operating), 0.02, "hum in dB");
    }

    /// <summary>Noise beside a tone, away from it by 100 Hz to 5 kHz, against the tone. Tolerance 0.5 dB: what lies closer or further is not counted.</summary>
    [Fact]
    public void Modulation_noise_is_what_the_model_says()
    {
        var model = Steady("Typical deck") with { Noise = new NoiseModel { ModulationNoiseDb = -40 } };
        model = model with { Sound = new SoundModel() };
        var back = Run(model, [Listening.Sine(10_000, -12, 6)]);
        var stretch = Middle(back, 0, 4);
        var noise = double.Hypot(Listening.BandRms(stretch, 500, 9900), Listening.BandRms(stretch, 10_100, 23_000));
        var tone = Listening.BandRms(stretch, 9950, 10_050);
        Measured.Within(-40, 20 * Math.Log10(noise / tone), 0.5, "noise beside the tone in dB");
    }

    private static SimulatedReturn Run(MachineModel model, float[][] send, RunOptions? options = null) =>
        new SimulatedMachine(model, 11).Run(send, Rate, options ?? new RunOptions());

    private static Span<float> Middle(SimulatedReturn back, int channel, double seconds)
    {
        var truth = back.TruthPerChannel[channel];
        var middle = (truth.CaptureSeconds[0] + truth.CaptureSeconds[^1]) / 2;
        return back.Channels[channel].AsSpan((int)((middle - seconds / 2) * Rate), (int)(seconds * Rate));
    }
}
