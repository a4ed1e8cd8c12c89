using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Passes.Tests;

/// <summary>
/// Fit to the side, against sums done by hand. With slates off and a lead of 8 s, a send takes 8 s + sounds + gaps + 1 s, and its two
/// margins of 5 s make 10 s more.
/// </summary>
public sealed class SideTests : IDisposable
{
    private readonly SendBench _bench = new();

    public void Dispose() => _bench.Dispose();

    private SendRequest Plain(params string[] sources) => _bench.Request(sources) with { Slates = false };

    private string Long(string name, double seconds) => _bench.Source(name, seconds, sampleRateHz: 8_000);

    [Fact]
    public void What_is_needed_is_lead_sounds_gaps_end_and_both_margins()
    {
        // 5 + 8 + 20 + 2 + 30 + 1 + 5 = 71 s.
        var result = _bench.Run(Plain(Long("a.wav", 20), Long("b.wav", 30)) with { SideMinutes = 71 / 60.0 });
        Measured.Within(71, result.Side.NeededSeconds, 1e-9, "seconds needed");
        Assert.True(result.Side.Fits);
        Assert.Equal(ExitCode.Done, result.ExitCode);
        Assert.Equal((5, 5), (result.Side.MarginStartSeconds, result.Side.MarginEndSeconds));
    }

    [Fact]
    public void A_tenth_of_a_second_too_long_does_not_fit_and_nothing_is_written()
    {
        var result = _bench.Run(Plain(Long("a.wav", 20), Long("b.wav", 30)) with { SideMinutes = 70.9 / 60 });
        Assert.Equal((false, false, ExitCode.Incomplete), (result.Side.Fits, result.Written, result.ExitCode));
        Assert.False(Directory.Exists(_bench.Target));
        Assert.Null(result.SendPath);
        Assert.Empty(result.Steps);
        Assert.Contains(result.Notices, n => n.Code == "side-too-short" && n.Text.Contains("0.1 s less") && n.Text.Contains("2 sides"));
    }

    /// <summary>Each side takes 19 s beside its sounds and 2 s a gap. In 60 s: 20 + 2 + 19 = 41 fits, with 19 more 62 does not; and so on.</summary>
    [Fact]
    public void The_split_keeps_the_order_and_fills_each_side()
    {
        var sources = new[] { ("a.wav", 20), ("b.wav", 19), ("c.wav", 30), ("d.wav", 9), ("e.wav", 41) };
        var result = _bench.Run(Plain([.. sources.Select(s => Long(s.Item1, s.Item2))]) with { SideMinutes = 1 });
        Assert.Equal(
            ["1: a.wav b.wav 60", "2: c.wav d.wav 60", "3: e.wav 60"],
            result.Side.Sides.Select(s => $"{s.Number}: {string.Join(' ', s.Sources)} {s.NeededSeconds:0.######}")
        );
        Assert.Empty(result.Side.TooLong);
    }

    [Fact]
    public void A_source_that_no_side_can_hold_is_named_and_no_split_is_proposed()
    {
        // 41.1 + 19 = 60.1 s.
        var result = _bench.Run(Plain(Long("a.wav", 20), Long("long.wav", 41.1)) with { SideMinutes = 1 });
        Assert.Equal(["long.wav"], result.Side.TooLong);
        Assert.Empty(result.Side.Sides);
        Assert.Contains(result.Notices, n => n.Text.Contains("Too long") && n.Text.Contains("long.wav"));
    }

    [Fact]
    public void In_parallel_the_longest_decides_and_there_is_nothing_to_split()
    {
        var request = Plain(Long("a.wav", 20), Long("b.wav", 30)) with { Layout = SendLayout.Parallel };
        Measured.Within(49, _bench.Run(request with { SideMinutes = 1 }).Side.NeededSeconds, 1e-9, "seconds needed");
        var result = _bench.Run(request with { SideMinutes = 48.9 / 60, Force = true });
        Assert.Equal(["b.wav"], result.Side.TooLong);
        Assert.Empty(result.Side.Sides);
    }

    /// <summary>A printing ratio of 2 doubles the sounds and nothing else: 5 + 8 + 40 + 1 + 5 = 59 s.</summary>
    [Fact]
    public void A_printing_ratio_lengthens_the_sounds_alone() =>
        Measured.Within(59, _bench.Run(Plain(Long("a.wav", 20)) with { PrintRatio = 2 }).Side.NeededSeconds, 1e-9, "seconds needed");

    /// <summary>39 s at 4.7625 cm/s is 1.857375 m; at 38.1 cm/s 14.859 m.</summary>
    [Theory, InlineData(4.7625, 1.857375), InlineData(38.1, 14.859)]
    public void The_length_of_tape_is_speed_times_time(double speedCmPerSecond, double metres)
    {
        var result = _bench.Run(Plain(Long("a.wav", 20)) with { SpeedCmPerSecond = speedCmPerSecond });
        Measured.Within(metres, result.Side.TapeMetres!.Value, 1e-9, "metres");
        Measured.Within(metres, result.Sheet.TapeMetres!.Value, 1e-9, "metres in the sheet");
    }

    /// <summary>With slates: head and tail slates of 1.874 s, gap slates inside the gaps; 5 + 8 + 20 + (1 + 1.874 + 1) + 5.</summary>
    [Fact]
    public void The_tail_slate_counts()
    {
        var result = _bench.Run(_bench.Request(_bench.Source("a.wav", 20, sampleRateHz: 16_000)));
        Measured.Within(41.874, result.Side.NeededSeconds, 1.0 / 16_000, "seconds needed");
    }

    /// <summary>
    /// By hand: a side of a C60 is 30 min at 4.7625 cm/s, 85.725 m, and 15 min at 9.525; 600 ft are 182.88 m, 32 min at 9.525 and 8 at 38.1;
    /// 900 ft 12 min at 38.1; 600 ft at 4.7625 64 min; 3600 ft 48 min at 38.1.
    /// </summary>
    [Theory]
    [InlineData(29, null, "a C60 (30 min a side at 4.76 cm/s)")]
    [InlineData(31, null, "a C90 (45 min a side at 4.76 cm/s)")]
    [InlineData(61, null, null)]
    [InlineData(22, 4.76, "a C46 (23 min a side at 4.76 cm/s)")]
    [InlineData(61, 4.7625, "a 5 in reel of 600 ft (64 min a side at 4.76 cm/s)")]
    [InlineData(14, 9.525, "a C60 (15 min a side at 9.53 cm/s), or a 5 in reel of 600 ft (32 min a side at 9.53 cm/s)")]
    [InlineData(9, 38.1, "a 5 in reel of 900 ft (12 min a side at 38.1 cm/s)")]
    [InlineData(49, 38.1, null)]
    public void The_shortest_tape_that_holds_it_is_named(double minutes, double? speedCmPerSecond, string? wanted) =>
        Assert.Equal(wanted, TapeChoice.Shortest(minutes * 60, speedCmPerSecond));

    [Fact]
    public void A_side_too_short_names_the_tape_that_would_do()
    {
        var result = _bench.Run(Plain(Long("a.wav", 20), Long("b.wav", 30)) with { SideMinutes = 1 });
        Assert.Equal("a C46 (23 min a side at 4.76 cm/s)", result.Side.ShortestTape);
        Assert.Contains(result.Notices, n => n.Text.Contains("On one side: a C46"));
    }
}
