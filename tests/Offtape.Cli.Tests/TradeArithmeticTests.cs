using System.Text.Json;
using Offtape.Cli.Tests.Running;
using Offtape.Testing;

namespace Offtape.Cli.Tests;

/// <summary>Trade arithmetic as the command says it. Whole-number cases worked out by hand, and published figures where they are named.</summary>
public sealed class TradeArithmeticTests
{
    /// <summary>Arithmetic: two bars of four at 120 BPM are 4 s; at 15 in/s that is 60 in, and a 45° cut through ¼ in lasts a sixtieth of a second.</summary>
    [Fact]
    public void A_loop_answers_with_whichever_was_left_out()
    {
        var json = Answer("loop", "--bars", "2", "--bpm", "120", "--speed", "15ips", "--width", "6.35");
        Measured.Within(60, Number(json, "lengthInches"), 1e-9, "in");
        Measured.Within(1000.0 / 60, Number(json, "spliceMilliseconds"), 1e-9, "ms");
        Measured.Within(120, Number(Answer("loop", "--bars", "2", "--length", "152.4", "--speed", "15ips"), "tempoBpm"), 1e-9, "BPM");
        Measured.Within(8, Number(Answer("loop", "--bpm", "120", "--length", "152.4", "--speed", "15ips"), "beats"), 1e-9, "beats");
        Measured.Within(38.1, Number(Answer("loop", "--bpm", "120", "--length", "152.4", "--bars", "2"), "speedCmPerSecond"), 1e-9, "cm/s");
    }

    /// <summary>Owsinski, "The Mixing Engineer's Handbook": 250 ms at 7½ in/s and 125 ms at 15 in/s belong to one distance, 1⅞ in.</summary>
    [Fact]
    public void An_echo_names_the_setting_that_comes_nearest_to_the_note()
    {
        // At 120 BPM an eighth is 250 ms, a sixteenth 125 ms.
        var rows = Answer(
                "echo",
                "--distance",
                "47.625",
                "--speed",
                "7.5ips",
                "15ips",
                "--bpm",
                "120",
                "--note",
                "1/8",
                "1/16",
                "1/8t",
                "--range",
                "10"
            )
            .GetProperty("rows");
        Assert.Equal(19.05, Number(rows[0], "speedCmPerSecond"));
        Assert.Equal(38.1, Number(rows[1], "speedCmPerSecond"));
        Measured.Within(0, Number(rows[0], "errorMilliseconds"), 1e-9, "ms");
        // The triplet's 166.67 ms: 125 ÷ 0.9 = 138.89 is 27.78 short; 250 ÷ 1.1 = 227.27 is 60.6 late.
        Measured.Within(125 / 0.9 - 500 / 3.0, Number(rows[2], "errorMilliseconds"), 1e-9, "ms");
        Measured.Within(-10, Number(rows[2], "pitchPercent"), 1e-9, "%");
        Measured.Within(120 * (500 / 3.0) / (125 / 0.9), Number(rows[2], "exactTempoBpm"), 1e-9, "BPM");
        Assert.Equal(15, Answer("echo", "--distance", "50", "--bpm", "84").GetProperty("rows").GetArrayLength());
    }

    /// <summary>Equal temperament: a semitone is 2^(1/12) = 1.059463, 5.9463 % fast; arithmetic: 84 BPM ten per cent up are 92.4.</summary>
    [Fact]
    public void A_pitch_control_is_told_in_per_cent_cents_and_tempo()
    {
        Measured.Within(5.9463, Number(Answer("pitch", "--semitones", "1"), "pitchPercent"), 5e-5, "%");
        Measured.Within(100, Number(Answer("pitch", "--percent", "5.9463094359"), "pitchCents"), 1e-6, "cents");
        Measured.Within(92.4, Number(Answer("pitch", "--percent", "10", "--bpm", "84"), "tempoBecomesBpm"), 1e-9, "BPM");
        Measured.Within(10, Number(Answer("pitch", "--bpm", "84", "--to-bpm", "92.4"), "pitchPercent"), 1e-9, "%");
    }

    [Fact]
    public void A_pitch_that_the_control_does_not_reach_is_exit_3_with_the_nearest()
    {
        var ran = Tool.Run("calc", "pitch", "--bpm", "100", "--to-bpm", "120", "--range", "10", "--json");
        Assert.Equal(3, ran.ExitCode);
        Assert.False(ran.Json.GetProperty("isWithinRange").GetBoolean());
        Measured.Within(110, Number(ran.Json, "nearestTempoBpm"), 1e-9, "BPM");
        Assert.Contains(
            "does not reach",
            Tool.Run("calc", "pitch", "--bpm", "100", "--to-bpm", "120", "--range", "10").Output,
            StringComparison.Ordinal
        );
        Assert.Equal(0, Tool.Run("calc", "pitch", "--percent", "-9", "--range", "10").ExitCode);
    }

    /// <summary>Arithmetic: half speed is ratio 2, an octave, twice the send, and a band twice as high.</summary>
    [Fact]
    public void A_print_at_half_speed_is_worked_out()
    {
        var json = Answer("print", "--record", "7.5ips", "--replay", "15ips", "--seconds", "10", "--high", "10000");
        Assert.Equal(2, Number(json, "printRatio"));
        Measured.Within(1200, Number(json, "plainPitchCents"), 1e-9, "cents");
        Assert.Equal((20, 20_000), (Number(json, "sendSeconds"), Number(json, "sourceHighHz")));
        Assert.Equal(JsonValueKind.Null, json.GetProperty("sourceLowHz").ValueKind);
    }

    /// <summary>Arithmetic: ten equal noises are 10 dB over one, four wobbles twice one; four losses of 1.5 dB are 6.</summary>
    [Fact]
    public void Generations_are_told_one_by_one()
    {
        var rows = Answer("generations", "--count", "10", "--noise", "-52", "--wobble", "0.1", "--loss", "1.5").GetProperty("rows");
        Assert.Equal(10, rows.GetArrayLength());
        Measured.Within(-42, Number(rows[9], "noiseDb"), 1e-9, "dB");
        Measured.Within(0.2, Number(rows[3], "wobblePercent"), 1e-12, "%");
        Measured.Within(6, Number(rows[3], "lossDb"), 1e-12, "dB");
    }

    /// <summary>1200 ft at 7½ in/s are 32 minutes, exactly (R. Hess's chart prints 30): for 64 a minute is 2.</summary>
    [Fact]
    public void A_minute_of_tape_costs_its_share()
    {
        var row = Answer("cost", "--price", "64", "--tape", "1200ft", "--speed", "7.5ips", "--tracks", "4").GetProperty("rows")[0];
        Measured.Within(2, Number(row, "perMinute"), 1e-9, "a minute");
        Measured.Within(0.5, Number(row, "perTrackMinute"), 1e-9, "of one track");
        Assert.Equal(6, Answer("cost", "--price", "64", "--tape", "1200ft").GetProperty("rows").GetArrayLength());
    }

    /// <summary>JCGM 100:2008, 5.1.6: shares of 3 and 4 per mille make 5. 10 m in 100 s, 30 mm and 0.4 s off.</summary>
    [Fact]
    public void A_measured_speed_says_how_sure_it_is()
    {
        string[] measured = ["--length", "10", "--over", "100", "--length-error", "30", "--over-error", "0.4"];
        var json = Answer("speed", [.. measured, "--from", "10"]);
        Measured.Within(0.5, Number(json, "uncertaintyPercent"), 1e-9, "%");
        Measured.Within(0.05, Number(json, "uncertaintyCmPerSecond"), 1e-9, "cm/s");
        Assert.Contains(
            "no nearer than it was measured",
            Tool.Run(["calc", "speed", .. measured, "--from", "10.02"]).Output,
            StringComparison.Ordinal
        );
        Assert.Contains("runs slow", Tool.Run(["calc", "speed", .. measured, "--from", "10.2"]).Output, StringComparison.Ordinal);
        Assert.Equal(JsonValueKind.Null, Answer("speed", "--percent", "1").GetProperty("uncertaintyPercent").ValueKind);
    }

    [Theory]
    [InlineData("loop", "--bars", "2", "--bpm", "84")]
    [InlineData("loop", "--bars", "2", "--bpm", "84", "--speed", "19", "--length", "10")]
    [InlineData("loop", "--bars", "1", "--bpm", "600", "--length", "100000")]
    [InlineData("echo", "--bpm", "84")]
    [InlineData("echo", "--distance", "50")]
    [InlineData("echo", "--distance", "50", "--bpm", "84", "--delay", "200")]
    [InlineData("echo", "--distance", "50", "--bpm", "84", "--note", "1/7")]
    [InlineData("echo", "--distance", "far", "--bpm", "84")]
    [InlineData("echo", "--distance", "50", "--delay", "200", "--note", "1/8")]
    [InlineData("pitch")]
    [InlineData("pitch", "--percent", "3", "--cents", "5")]
    [InlineData("pitch", "--to-bpm", "90")]
    [InlineData("print", "--record", "19.05")]
    [InlineData("print", "--record", "19.05", "--replay", "9.5", "--low", "500", "--high", "400")]
    [InlineData("cost", "--price", "5")]
    [InlineData("cost", "--price", "5", "--tape", "long")]
    [InlineData("speed", "--percent", "1", "--length-error", "2")]
    public void A_question_without_one_answer_is_exit_2_and_one_line(params string[] arguments)
    {
        var ran = Tool.Run(["calc", .. arguments]);
        Assert.Single(ran.ErrorLines);
        Assert.Equal(2, ran.ExitCode);
    }

    [Theory]
    [InlineData("length = beats · 60 ÷ tempo · speed", "loop", "--bars", "2", "--bpm", "84", "--speed", "19.05")]
    [InlineData("delay = distance ÷ (speed", "echo", "--distance", "50.8", "--bpm", "84")]
    [InlineData("ratio = 1 + percent ÷ 100", "pitch", "--cents", "-20", "--range", "8")]
    [InlineData("printing ratio = replay speed ÷ record speed", "print", "--record", "19", "--replay", "9.5")]
    [InlineData("noise + 10 · log10(n)", "generations")]
    [InlineData("cost a minute = price ÷ ", "cost", "--price", "6", "--tape", "C60")]
    [InlineData("√((length error ÷ length)²", "speed", "--length", "10", "--over", "100", "--over-error", "0.2", "--length-error", "1")]
    public void Each_answer_shows_its_formula(string formula, params string[] arguments) =>
        Assert.Contains(formula, Tool.Run(["calc", .. arguments]).Output.ReplaceLineEndings(" "), StringComparison.Ordinal);

    private static JsonElement Answer(string verb, params string[] arguments) => Tool.Run(["calc", verb, .. arguments, "--json"]).Json;

    private static double Number(JsonElement json, string name) => json.GetProperty(name).GetDouble();
}
