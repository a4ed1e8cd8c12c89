using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Tape.Tests;

/// <summary>
/// Trade arithmetic against published figures where there are any; where a test says "arithmetic" the expected value was worked out by hand
/// from the definition, with whole numbers where that can be.
/// </summary>
public sealed class TradeArithmeticTests
{
    private static readonly TapeSpeed Fifteen = TapeSpeeds.Fifteen.Speed;

    /// <summary>Arithmetic: a beat at 120 BPM is half a second, and half a second at 15 in/s is 7½ in.</summary>
    [Fact]
    public void A_loop_of_a_beat_at_120_is_seven_and_a_half_inches()
    {
        Measured.Within(7.5 * 2.54, TapeLoop.LengthCm(1, 120, Fifteen), 1e-12, "cm");
        Measured.Within(120, TapeLoop.TempoBpm(1, 7.5 * 2.54, Fifteen), 1e-9, "BPM");
        Measured.Within(8, TapeLoop.Beats(120, 60 * 2.54, Fifteen), 1e-12, "beats");
        Measured.Within(38.1, TapeLoop.SpeedCmPerSecond(8, 120, 60 * 2.54), 1e-12, "cm/s");
    }

    /// <summary>
    /// Arithmetic: a cut at 45° reaches as far along the tape as the tape is wide: ¼ in at 15 in/s is a sixtieth of a second. At 60° it is
    /// 1 ÷ √3 of that; straight across, nothing.
    /// </summary>
    [Fact]
    public void A_slanting_splice_fades_over_the_width_of_the_tape()
    {
        Measured.Within(1.0 / 60, TapeLoop.SpliceSeconds(6.35, 45, Fifteen), 1e-15, "s at 45°");
        Measured.Within(1 / (60 * Math.Sqrt(3)), TapeLoop.SpliceSeconds(6.35, 60, Fifteen), 1e-15, "s at 60°");
        Assert.Equal(0, TapeLoop.SpliceSeconds(6.35, 90, Fifteen));
    }

    /// <summary>Arithmetic: 1 mm at 38.1 cm/s is 2.6247 ms; a loop of 100 mm that is 100 mm too long is an octave too long.</summary>
    [Fact]
    public void A_loop_cut_too_long_is_late_by_its_error()
    {
        Measured.Within(1 / 381.0, TapeLoop.SecondsPerMillimetre(Fifteen), 1e-15, "s");
        Measured.Within(1200, TapeLoop.CentsToHold(100, 10), 1e-9, "cents");
    }

    /// <summary>
    /// Owsinski, "The Mixing Engineer's Handbook": machines echo by 125 to 175 ms at 15 in/s and 250 to 350 ms at 7½ in/s. Heads 1⅞ in apart do
    /// the first of each pair, 2⅝ in the second, exactly; asked for any of the four the nearest setting is the exact one.
    /// </summary>
    [Theory]
    [InlineData(0.125, 47.625, 38.1), InlineData(0.175, 66.675, 38.1), InlineData(0.250, 47.625, 19.05), InlineData(0.350, 66.675, 19.05)]
    public void The_nearest_echo_is_the_exact_one_where_there_is_one(double seconds, double distanceMm, double cmPerSecond)
    {
        var setting = TapeEcho.Nearest(seconds, [66.675, 47.625], [TapeSpeeds.SevenAndAHalf.Speed, Fifteen], 5);
        Assert.Equal((distanceMm, cmPerSecond), (setting.DistanceMm, setting.Speed.CmPerSecond));
        Measured.Within(0, setting.ErrorSeconds, 1e-12, "s");
        Measured.Within(0, setting.PitchPercent, 1e-9, "%");
    }

    /// <summary>
    /// The nearest of all settings, by trying 2,001 positions of the control at every speed and distance. Tolerance: half a step of that grid,
    /// as a share of the longest delay.
    /// </summary>
    [Fact]
    public void The_nearest_echo_is_that_of_exhaustive_search()
    {
        var random = new Random(5);
        for (var i = 0; i < 200; i++)
        {
            double[] distances = [.. Enumerable.Range(0, 1 + random.Next(3)).Select(_ => 20 + 60 * random.NextDouble())];
            TapeSpeed[] speeds = [.. TapeSpeeds.All.Skip(random.Next(3)).Take(1 + random.Next(3)).Select(s => s.Speed)];
            var range = random.Next(3) == 0 ? 0 : 15 * random.NextDouble();
            var wanted = 0.02 + 1.5 * random.NextDouble();
            var tried =
                from d in distances
                from v in speeds
                from k in Enumerable.Range(-1000, 2001)
                select Math.Abs(d / 10 / v.CmPerSecond / (1 + range / 100 * k / 1000) - wanted);
            var setting = TapeEcho.Nearest(wanted, distances, speeds, range);
            var best = tried.Min();
            Measured.AtMost(best + 1e-12, Math.Abs(setting.ErrorSeconds), "s off");
            Measured.AtLeast(best - range / 100 / 1000 * 3.5, Math.Abs(setting.ErrorSeconds), "s off");
            Measured.Within(
                setting.Seconds,
                setting.DistanceMm / 10 / (setting.Speed.CmPerSecond * (1 + setting.PitchPercent / 100)),
                1e-12,
                "delay of the setting"
            );
            Measured.AtMost(range + 1e-9, Math.Abs(setting.PitchPercent), "% of the control");
        }
    }

    /// <summary>Arithmetic: at 120 BPM a quarter is 500 ms, dotted 750, a triplet of it 333⅓, an eighth 250.</summary>
    [Theory]
    [InlineData("1/4", 0.5), InlineData("1/4d", 0.75), InlineData("1/4.", 0.75), InlineData("1/4t", 1 / 3.0), InlineData("1/8", 0.25)]
    [InlineData("1/8 dotted", 0.375), InlineData("1/8 triplet", 1 / 6.0), InlineData("1/32T", 1 / 24.0)]
    public void Notes_last_their_share_of_four_beats(string text, double seconds) =>
        Measured.Within(seconds, NoteLength.Parse(text)!.Seconds(120), 1e-12, "s");

    [Theory, InlineData(""), InlineData("1/3"), InlineData("quarter"), InlineData("t"), InlineData("1/4dd")]
    public void What_is_no_note_is_none(string text) => Assert.Null(NoteLength.Parse(text));

    /// <summary>Arithmetic: an echo of 400 ms where 500 were wanted at 100 BPM is on the note at 125 BPM.</summary>
    [Fact]
    public void An_echo_that_is_short_is_exact_at_a_faster_tempo() =>
        Measured.Within(125, new EchoSetting(76.2, TapeSpeeds.SevenAndAHalf.Speed, 0, 0.4, 0.5).ExactTempoBpm(100), 1e-9, "BPM");

    /// <summary>Arithmetic: 25 % fast is undone by 20 % slow, for 1.25 · 0.8 = 1.</summary>
    [Fact]
    public void A_pitch_control_undoes_itself_by_the_reciprocal()
    {
        Measured.Within(-20, PitchControl.UndoingPercent(25), 1e-12, "%");
        var control = new PitchControl(10);
        Assert.True(control.Reaches(1.0999));
        Assert.False(control.Reaches(0.8999));
        Assert.Equal((0.9, 1.1), (control.Nearest(0.5), control.Nearest(2)));
    }

    /// <summary>Arithmetic: recorded at half the speed it is heard at, a sound is an octave up and half as long, or is sent twice as long.</summary>
    [Fact]
    public void A_print_at_half_speed_is_sent_twice_as_long()
    {
        var speeds = new PrintSpeeds(TapeSpeeds.SevenAndAHalf.Speed, Fifteen);
        Assert.Equal(2, speeds.PrintRatio);
        Measured.Within(1200, speeds.PlainPitchCents, 1e-9, "cents");
        Assert.Equal((20.0, 5.0), (speeds.SendSeconds(10), speeds.PlainReturnSeconds(10)));
        // Ten seconds heard at 15 in/s are 150 in of tape, whatever speed they were recorded at.
        Measured.Within(150 * 2.54, speeds.TapeCm(10), 1e-9, "cm of tape");
        Assert.Equal((5_000.0, 20_000.0, 4.0), (speeds.RecordedHz(10_000), speeds.SourceHz(10_000), speeds.HeardWobbleHz(2)));
    }

    /// <summary>
    /// Equal independent noises add up in power: twice is 3.0103 dB, four times 6.0206, ten times 10 dB, exactly. The root is the same law for a
    /// deviation, checked on drawn numbers: 100,000 sums of four have twice the deviation, within 1 % (four standard errors).
    /// </summary>
    [Fact]
    public void Generations_add_up_as_independent_noise_does()
    {
        Measured.Within(0, Generations.NoiseDb(1), 1e-12, "dB");
        Measured.Within(3.0103, Generations.NoiseDb(2), 5e-5, "dB");
        Measured.Within(10, Generations.NoiseDb(10), 1e-12, "dB");
        Assert.Equal(-6, Generations.LossDb(4, -1.5));
        var random = new Random(11);
        var squares = 0.0;
        const int runs = 100_000;
        for (var i = 0; i < runs; i++)
        {
            var sum = Enumerable.Range(0, 4).Sum(_ => (random.NextDouble() - 0.5) * Math.Sqrt(12));
            squares += sum * sum;
        }
        Measured.Within(Generations.WobbleRatio(4), Math.Sqrt(squares / runs), 0.02, "deviation of four");
        Measured.Within(Generations.NoiseDb(4), 10 * Math.Log10(squares / runs), 0.09, "power of four in dB");
    }

    /// <summary>
    /// JCGM 100:2008, 5.1.6: relative uncertainties of a quotient add up as the root of their squares; shares of 3 and 4 per mille make 5. The speed
    /// is the cassette's, 5.715 m in two minutes.
    /// </summary>
    [Fact]
    public void A_measured_speed_says_what_it_may_be_off_by()
    {
        var speed = new MeasuredSpeed(571.5, 571.5 * 0.003, 120, 120 * 0.004);
        Measured.Within(4.7625, speed.CmPerSecond, 1e-12, "cm/s");
        Measured.Within(0.005, speed.ErrorShare, 1e-12, "share");
        Measured.Within(4.7625 * 0.005, speed.ErrorCmPerSecond, 1e-12, "cm/s");
        // 0.5 % is 8.635 cents.
        Measured.Within(8.635, speed.ErrorCents, 5e-4, "cents");
    }

    /// <summary>A reel of 1200 ft plays 32 minutes at 7½ in/s (12 inches to the foot, exact): for 64 in money that is 2 a minute.</summary>
    [Fact]
    public void A_minute_costs_its_share_of_the_tape()
    {
        var minutes = TapeLengths.MetresOf("1200ft")!.Value * 100 / 19.05 / 60;
        Measured.Within(2, new TapeCost(64).PerMinute(minutes), 1e-12, "a minute");
        Measured.Within(0.25, new TapeCost(64, SideCount: 2, UseCount: 4).PerMinute(minutes), 1e-12, "a minute of eight uses");
    }

    [Theory, InlineData("C60", 85.725), InlineData("c90", 128.5875), InlineData("1800ft", 548.64), InlineData(" 540m ", 540)]
    public void A_tape_is_known_by_its_name(string name, double metres) =>
        Measured.Within(metres, TapeLengths.MetresOf(name)!.Value, 1e-9, "m");

    [Theory, InlineData("C"), InlineData("60"), InlineData("-5m"), InlineData("C0"), InlineData("1e9m"), InlineData("long")]
    public void What_names_no_tape_is_none(string name) => Assert.Null(TapeLengths.MetresOf(name));
}
