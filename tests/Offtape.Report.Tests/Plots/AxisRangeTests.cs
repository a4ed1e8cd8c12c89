using CsCheck;
using Offtape.Testing;

namespace Offtape.Report.Tests;

/// <summary>Scales in closed form, and the ranges that an axis takes from its data.</summary>
public sealed class AxisRangeTests
{
    [Fact]
    public void Half_way_is_the_mean_and_on_a_logarithmic_axis_the_geometric_mean()
    {
        Assert.Equal(15, new AxisRange(10, 20, AxisScale.Linear).Value(0.5));
        Assert.Equal(0.5, new AxisRange(10, 20, AxisScale.Linear).Fraction(15));
        // √(20 · 20 000) = 632.455…; tolerance: double rounding of a power.
        Measured.Within(Math.Sqrt(20.0 * 20_000), new AxisRange(20, 20_000, AxisScale.Logarithmic).Value(0.5), 1e-9);
        Measured.Within(1.0 / 3, new AxisRange(20, 20_000, AxisScale.Logarithmic).Fraction(200), 1e-15);
    }

    [Fact]
    public void Value_and_fraction_undo_each_other() =>
        Gen.Select(Gen.Double[0.01, 100], Gen.Double[1.01, 1000], Gen.Double[0, 1], Gen.Enum<AxisScale>())
            .Sample(
                (min, ratio, fraction, scale) =>
                {
                    var range = new AxisRange(min, min * ratio, scale);
                    // Double rounding, magnified where the range is narrow against its values.
                    return Math.Abs(range.Fraction(range.Value(fraction)) - fraction) < 1e-12 * ratio / (ratio - 1);
                }
            );

    [Fact]
    public void An_axis_holds_all_its_data_and_a_margin()
    {
        Assert.Equal(new AxisRange(-0.6, 10.6, AxisScale.Linear), AxisRange.For(Axis.Linear("a"), new Extent(0, 10), 0.06));
        Assert.Equal(new AxisRange(0, 10, AxisScale.Linear), AxisRange.For(Axis.Linear("a"), new Extent(0, 10), 0));
    }

    [Fact]
    public void Ends_that_are_asked_for_are_kept()
    {
        var range = AxisRange.For(Axis.Linear("a", "", -24, 6), new Extent(-100, 100), 0.06);
        Assert.Equal(new AxisRange(-24, 6, AxisScale.Linear), range);
    }

    [Fact]
    public void Any_data_give_a_range_that_can_be_drawn() =>
        Gen.Select(Gen.OneOf(Gen.Double, Gen.Const(0.0)), Gen.OneOf(Gen.Double, Gen.Const(0.0)), Gen.Enum<AxisScale>())
            .Sample(
                (a, b, scale) =>
                {
                    // Half of the greatest double: a range of all doubles has no finite length.
                    var data = Extent.None.With(Math.Clamp(a, -1e300, 1e300)).With(Math.Clamp(b, -1e300, 1e300));
                    var range = AxisRange.For(new Axis("a", "", scale), data, 0.06);
                    return range.Min < range.Max && double.IsFinite(range.Span) && (scale != AxisScale.Logarithmic || range.Min > 0);
                }
            );

    [Fact]
    public void Nothing_to_draw_still_gives_an_axis() =>
        Assert.Equal(new AxisRange(0, 1, AxisScale.Linear), AxisRange.For(Axis.Linear("a"), Extent.None, 0));

    [Fact]
    public void Ends_the_wrong_way_round_are_refused()
    {
        Assert.Throws<ArgumentException>(() => AxisRange.For(Axis.Linear("a", "", 3, 3), Extent.None, 0));
        Assert.Throws<ArgumentException>(() => AxisRange.For(Axis.Frequency("f", 0, 100), Extent.None, 0));
    }

    [Fact]
    public void Values_that_are_not_finite_are_passed_over() =>
        Assert.Equal(new Extent(-2, 5), Extent.Of([double.NaN, 5, double.PositiveInfinity, -2, double.NegativeInfinity]));
}
