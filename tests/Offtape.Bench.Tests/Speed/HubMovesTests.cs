using Offtape.Base;

namespace Offtape.Bench.Tests.Speed;

/// <summary>
/// Lines of several runs against what a hub does: turns = speed ÷ (π · diameter). At 4.76 cm/s a pack of 26 mm turns 0.58 times a second and one of
/// 38 mm 0.40 times, while a pinch roller of 12 mm turns 1.26 times all along.
/// </summary>
public sealed class HubMovesTests
{
    private static readonly MachineFacts Cassette = new() { SpeedCmPerSecond = 4.7625 };

    [Fact]
    public void A_line_that_moves_while_the_others_stay_is_a_hub()
    {
        var notice = Assert.Single(Of(Run((0.58, 0.08), (1.26, 0.05)), Run((0.40, 0.07), (1.26, 0.05))), n => n.Code == "hub-moved");
        Assert.Contains("0.58 Hz", notice.Text, StringComparison.Ordinal);
        Assert.Contains("0.40 Hz", notice.Text, StringComparison.Ordinal);
        Assert.Contains("26 mm and 38 mm", notice.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_line_that_stays_is_said_to_stay_and_nothing_more()
    {
        var notices = Of(Run((0.58, 0.08), (1.26, 0.05)), Run((0.58, 0.02), (1.27, 0.05)));
        var notice = Assert.Single(notices);
        Assert.Equal("hub-stays", notice.Code);
    }

    [Fact]
    public void Nothing_is_said_of_one_run_nor_of_lines_that_come_and_go()
    {
        Assert.Empty(Of(Run((0.58, 0.08))));
        // Another line of ten times the size is not the one that moved.
        Assert.Empty(Of(Run((0.58, 0.08), (6.3, 0.05)), Run((0.40, 0.8), (6.3, 0.05))));
        Assert.Empty(Of(Run((0.58, 0.08), (6.3, 0.05)), Run((6.3, 0.05))));
        // Two may be it.
        Assert.Empty(Of(Run((0.58, 0.08), (6.3, 0.05)), Run((0.40, 0.07), (0.75, 0.07), (6.3, 0.05))));
    }

    [Fact]
    public void Without_a_tape_speed_no_line_belongs_to_a_hub() =>
        Assert.Empty(HubMoves.Of([Run((0.58, 0.08)), Run((0.40, 0.08))], new MachineFacts()));

    private static Notice[] Of(params Findings[] runs) => [.. HubMoves.Of(runs, Cassette)];

    private static Findings Run(params (double Hz, double Percent)[] lines) =>
        new()
        {
            Readings =
            [
                .. lines.Select(l => new Reading
                {
                    Quantity = "speedLine",
                    Unit = "%",
                    Condition = $"{SpeedReadings.Frequency(l.Hz)} Hz",
                    Method = "",
                    Value = l.Percent,
                    Uncertainty = 0.001,
                }),
            ],
        };
}
