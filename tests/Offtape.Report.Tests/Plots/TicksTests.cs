using CsCheck;
using Offtape.Testing;

namespace Offtape.Report.Tests;

/// <summary>Ticks against choices worked out by hand, and what must hold for any range.</summary>
public sealed class TicksTests
{
    /// <summary>A hundred pixels a label: 10 of them on 1000.</summary>
    [Theory]
    [InlineData(0, 10, 1000, "0|1|2|3|4|5|6|7|8|9|10")]
    [InlineData(0, 10, 500, "0|2|4|6|8|10")]
    [InlineData(0, 10, 250, "0|5|10")]
    [InlineData(0, 0.3, 400, "0|0.1|0.2|0.3")]
    [InlineData(-1, 1, 500, "−1.0|−0.5|0|0.5|1.0")]
    [InlineData(-24, 6, 400, "−20|−10|0")]
    [InlineData(0, 40000, 500, "0|10\u2009000|20\u2009000|30\u2009000|40\u2009000")]
    public void Linear_steps_are_one_two_five(double min, double max, double length, string wanted) =>
        Assert.Equal(wanted, Labels(new AxisRange(min, max, AxisScale.Linear), length, 99));

    [Theory]
    [InlineData(0, 60, 500, "0:00|0:15|0:30|0:45|1:00")]
    [InlineData(0, 12, 700, "0:00|0:02|0:04|0:06|0:08|0:10|0:12")]
    [InlineData(58.9, 61.1, 500, "0:59.0|0:59.5|1:00.0|1:00.5|1:01.0")]
    [InlineData(0, 0.02, 500, "0:00.000|0:00.005|0:00.010|0:00.015|0:00.020")]
    [InlineData(0, 5400, 400, "0:00|30:00|1:00:00|1:30:00")]
    [InlineData(-10, 10, 500, "−0:10|−0:05|0:00|0:05|0:10")]
    public void Clock_steps_are_those_of_a_clock(double min, double max, double length, string wanted) =>
        Assert.Equal(wanted, Labels(new AxisRange(min, max, AxisScale.Clock), length, 99));

    /// <summary>IEC 61260-1, annex E: the nominal octaves, and every second and third of them counted from 1 kHz.</summary>
    [Theory]
    [InlineData(20, 20_000, 1000, "31.5|63|125|250|500|1k|2k|4k|8k|16k")]
    [InlineData(20, 20_000, 700, "63|250|1k|4k|16k")]
    [InlineData(20, 20_000, 350, "125|1k|8k")]
    [InlineData(0.2, 200, 1200, "0.25|0.5|1|2|4|8|16|31.5|63|125")]
    [InlineData(700, 1_500, 600, "800|1k|1.25k")]
    [InlineData(31.5, 31_500, 1200, "31.5|63|125|250|500|1k|2k|4k|8k|16k|31.5k")]
    public void Logarithmic_ticks_are_nominal_octaves(double min, double max, double length, string wanted) =>
        Assert.Equal(wanted, Labels(new AxisRange(min, max, AxisScale.Logarithmic), length, 95));

    [Fact]
    public void Octaves_without_a_label_still_have_a_line()
    {
        var range = new AxisRange(20, 20_000, AxisScale.Logarithmic);
        var labelled = Choose(range, 350, 95);
        Assert.Equal([31.5, 63, 250, 500, 2000, 4000, 16_000], Ticks.MinorLines(range, labelled));
    }

    /// <summary>A tick stands where its label says: the nearest double of the decimal number printed.</summary>
    [Fact]
    public void A_linear_tick_is_the_double_nearest_to_its_label() =>
        Ranges(AxisScale.Linear)
            .Sample(range =>
                Choose(range, 700, 60)
                    .All(tick =>
                    {
                        var printed = double.Parse(tick.Label.Replace("\u2009", "", StringComparison.Ordinal).Replace('\u2212', '-'));
                        // One unit in the last place: a step of 2 or 5 times a power of ten is one multiplication away.
                        return Math.Abs(tick.Value - printed) <= Math.BitIncrement(Math.Abs(printed)) - Math.Abs(printed);
                    })
            );

    [Fact]
    public void Ticks_rise_lie_within_the_range_and_keep_clear() =>
        Gen.OneOf(Ranges(AxisScale.Linear), Ranges(AxisScale.Clock), Ranges(AxisScale.Logarithmic))
            .Select(Gen.Double[60, 1500], Gen.Double[10, 90])
            .Sample(
                (range, length, width) =>
                {
                    var ticks = Choose(range, length, width);
                    var slack = range.Span * 2e-9;
                    var inside = ticks.All(t => t.Value >= range.Min - slack && t.Value <= range.Max + slack);
                    var clear = ticks
                        .Zip(ticks.Skip(1))
                        .All(p => (range.Fraction(p.Second.Value) - range.Fraction(p.First.Value)) * length >= width);
                    return inside && clear;
                }
            );

    /// <summary>Room for ten labels never stands empty: a step of one, two or five tenths gives at least three.</summary>
    [Fact]
    public void Where_there_is_room_there_are_ticks() =>
        Gen.OneOf(Ranges(AxisScale.Linear), Ranges(AxisScale.Clock)).Sample(range => Choose(range, 1000, 99).Count >= 3);

    private static Gen<AxisRange> Ranges(AxisScale scale) =>
        scale == AxisScale.Logarithmic
            ? Gen.Double[-2, 4]
                .Select(Gen.Double[0.05, 4], (low, span) => new AxisRange(Math.Pow(10, low), Math.Pow(10, low + span), scale))
            : Gen.Double[-6, 6]
                .Select(
                    Gen.Double[-3, 3],
                    (size, offset) => new AxisRange(offset * Math.Pow(10, size), (offset + 1) * Math.Pow(10, size) + 1e-7, scale)
                );

    private static IReadOnlyList<Tick> Choose(AxisRange range, double length, double width) =>
        Ticks.Choose(range, t => (range.Fraction(t.Value) * length - width / 2, range.Fraction(t.Value) * length + width / 2), 0);

    private static string Labels(AxisRange range, double length, double width) =>
        string.Join('|', Choose(range, length, width).Select(t => t.Label));
}
