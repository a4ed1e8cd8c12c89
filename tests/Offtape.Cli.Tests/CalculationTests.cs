using Offtape.Cli.Tests.Running;
using Offtape.Testing;

namespace Offtape.Cli.Tests;

/// <summary>The calculations against published figures and closed forms.</summary>
public sealed class CalculationTests
{
    /// <summary>
    /// Owsinski, "The Mixing Engineer's Handbook": a machine at 15 in/s is late by 125 to 175 ms, at 7½ in/s by 250 to 350 ms. The head
    /// distances this implies are 1.875 and 2.625 in; an inch is 25.4 mm. Rounding of the text: none, both pairs are exact.
    /// </summary>
    [Theory]
    [InlineData("47.625", "15ips", 125)]
    [InlineData("66.675", "15ips", 175)]
    [InlineData("47.625", "7.5in/s", 250)]
    [InlineData("66.675", "19.05", 350)]
    public void The_delay_of_a_return_off_tape_is_the_handbooks(string distanceMm, string speed, double delayMs)
    {
        var json = Tool.Run("calc", "gap", "--distance", distanceMm, "--speed", speed, "--json").Json;
        Measured.Within(delayMs, json.GetProperty("delayMilliseconds").GetDouble(), 1e-9, "ms");
        Assert.Equal("delay = distance ÷ speed", json.GetProperty("formula").GetString());
    }

    [Fact]
    public void Any_two_of_distance_delay_and_speed_give_the_third()
    {
        Measured.Within(50.8, Value("distanceMillimetres", "--delay", "266.6666666666667", "--speed", "19.05"), 1e-9, "mm");
        Measured.Within(38.1, Value("speedCmPerSecond", "--delay", "100", "--distance", "38.1"), 1e-9, "cm/s");

        static double Value(string name, params string[] arguments) =>
            Tool.Run(["calc", "gap", .. arguments, "--json"]).Json.GetProperty(name).GetDouble();
    }

    [Fact]
    public void With_a_distance_alone_every_usual_speed_is_answered()
    {
        var json = Tool.Run("calc", "gap", "--distance", "25.4", "--json").Json;
        // One inch: the delay is the reciprocal of the speed in inches.
        foreach (var row in json.GetProperty("rows").EnumerateArray())
            Measured.Within(
                1000 / row.GetProperty("speedInchesPerSecond").GetDouble(),
                row.GetProperty("delayMilliseconds").GetDouble(),
                1e-9,
                "ms"
            );
        Assert.Equal(6, json.GetProperty("rows").GetArrayLength());
        Assert.Equal(System.Text.Json.JsonValueKind.Null, json.GetProperty("speedCmPerSecond").ValueKind);
    }

    /// <summary>Equal temperament: an octave is 1200 cents and twice the frequency, a fifth 700 cents; per cent and cents by their definitions.</summary>
    [Theory]
    [InlineData("--ratio", "2", 2, 1200)]
    [InlineData("--cents", "700", 1.498307076876682, 700)]
    [InlineData("--cents", "-1200", 0.5, -1200)]
    [InlineData("--cents", "−1200", 0.5, -1200)]
    [InlineData("--percent", "0.1", 1.001, 1.7303697)]
    [InlineData("--percent", "-3", 0.97, -52.73202)]
    [InlineData("--heard", "3156.3", 1.002, 3.4589883)]
    public void Ratio_per_cent_cents_and_tone_turn_into_each_other(string option, string value, double ratio, double cents)
    {
        var json = Tool.Run("calc", "speed", option, value, "--json").Json;
        Measured.Within(ratio, json.GetProperty("speedRatio").GetDouble(), 1e-12, "ratio");
        // The cents of the last rows are given to the digits that stand there.
        Measured.Within(cents, json.GetProperty("pitchCents").GetDouble(), 5e-5, "cents");
        Measured.Within(60 / ratio, json.GetProperty("minuteLastsSeconds").GetDouble(), 1e-9, "s");
    }

    [Fact]
    public void A_tape_played_at_half_its_speed_halves_pitch_and_tempo()
    {
        var json = Tool.Run("calc", "speed", "--from", "9.525", "--to", "4.7625", "--bpm", "84", "--json").Json;
        Measured.Within(-1200, json.GetProperty("pitchCents").GetDouble(), 1e-9, "cents");
        Measured.Within(42, json.GetProperty("tempoBecomesBpm").GetDouble(), 1e-9, "BPM");
    }

    [Fact]
    public void A_measured_length_over_a_time_gives_the_speed_of_the_machine()
    {
        // 5.715 m in two minutes is 4.7625 cm/s, the cassette's own speed.
        var json = Tool.Run("calc", "speed", "--length", "5.715", "--over", "120", "--from", "1.875ips", "--json").Json;
        Measured.Within(4.7625, json.GetProperty("speedCmPerSecond").GetDouble(), 1e-9, "cm/s");
        Measured.Within(0, json.GetProperty("pitchCents").GetDouble(), 1e-9, "cents");
    }

    /// <summary>
    /// Playing times of reels and cassettes. Reels: length in feet ÷ speed in inches a second, 12 inches to the foot, exact; R. Hess's tape
    /// timing chart prints the rounded 30, 60 and 90 minutes for them. Cassettes: the name is the minutes of both sides at 1⅞ in/s.
    /// </summary>
    [Theory]
    [InlineData("1200ft", "7.5ips", 32)]
    [InlineData("1800ft", "3.75ips", 96)]
    [InlineData("2500ft", "15ips", 33.333333333)]
    [InlineData("C60", "4.7625", 30)]
    [InlineData("c90", "3.75ips", 22.5)]
    [InlineData("342.9m", "9.525", 60)]
    public void A_tape_plays_as_long_as_its_length_takes(string tape, string speed, double minutes)
    {
        var json = Tool.Run("calc", "time", "--tape", tape, "--speed", speed, "--sides", "2", "--json").Json;
        Measured.Within(minutes, json.GetProperty("minutesPerSide").GetDouble(), 1e-6, "min");
        Measured.Within(2 * minutes, json.GetProperty("totalMinutes").GetDouble(), 2e-6, "min on two sides");
    }

    /// <summary>A C60 holds 281.25 ft of tape: half an hour at 1⅞ in/s.</summary>
    [Fact]
    public void A_time_needs_so_much_tape_and_the_shortest_that_holds_it_is_named()
    {
        var json = Tool.Run("calc", "time", "--minutes", "30", "--speed", "1.875ips", "--json").Json;
        Measured.Within(281.25 * 0.3048, json.GetProperty("lengthMetres").GetDouble(), 1e-9, "m");
        Assert.Equal("C60", json.GetProperty("shortestTapes")[0].GetString());
        Measured.Within(
            4.7625,
            Tool.Run("calc", "time", "--minutes", "30", "--tape", "281.25ft", "--json").Json.GetProperty("speedCmPerSecond").GetDouble(),
            1e-9,
            "cm/s"
        );
    }

    [Theory]
    [InlineData("calc", "time")]
    [InlineData("calc", "time", "--speed", "19.05")]
    [InlineData("calc", "time", "--tape", "long")]
    [InlineData("calc", "time", "--tape", "C0")]
    [InlineData("calc", "time", "--tape", "C60", "--speed", "4.76", "--minutes", "30")]
    [InlineData("calc", "time", "--tape", "1m", "--minutes", "1000")]
    public void A_time_without_one_answer_is_exit_2(params string[] arguments)
    {
        var ran = Tool.Run(arguments);
        Assert.Single(ran.ErrorLines);
        Assert.Equal(2, ran.ExitCode);
    }

    [Fact]
    public void Every_answer_shows_its_formula()
    {
        Assert.Contains("delay = distance ÷ speed", Tool.Run("calc", "gap", "--distance", "30").Output, StringComparison.Ordinal);
        Assert.Contains("time = length ÷ speed", Tool.Run("calc", "time", "--tape", "C90").Output, StringComparison.Ordinal);
        Assert.Contains("ratio = 2^(cents ÷ 1200)", Tool.Run("calc", "speed", "--cents", "5").Output, StringComparison.Ordinal);
    }
}
