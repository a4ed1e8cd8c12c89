using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>Checks the spline on an even grid against SciPy's CubicSpline with not-a-knot ends (tools/reference/smoothing.py).</summary>
public sealed class EvenSplineTests
{
    // Values of size 1: some dozens of roundings.
    private const double Rounding = 1e-14;

    [Theory, InlineData(4), InlineData(5), InlineData(30)]
    public void Between_its_points_it_is_SciPys(int count)
    {
        var spline = new EvenSpline(Reference.Column("spline.csv", $"values-{count}"));
        var (at, wanted) = (Reference.Column("spline.csv", $"at-{count}"), Reference.Column("spline.csv", $"curve-{count}"));
        for (var i = 0; i < at.Length; i++)
            Measured.Within(wanted[i], spline.At(at[i]), Rounding, $"curve of {count} points at {at[i]}");
    }

    [Theory, InlineData(4), InlineData(5), InlineData(30)]
    public void Beyond_its_ends_it_goes_on_by_their_slope(int count)
    {
        var values = Reference.Column("spline.csv", $"values-{count}");
        var (spline, slopes) = (new EvenSpline(values), Reference.Column("spline.csv", $"slopes-{count}"));
        Measured.Within(values[0] - 2.5 * slopes[0], spline.At(-2.5), 10 * Rounding, "before the first point");
        Measured.Within(values[^1] + 3.5 * slopes[1], spline.At(count + 2.5), 10 * Rounding, "after the last point");
    }

    /// <summary>A cubic is its own spline, whatever the grid.</summary>
    [Fact]
    public void A_cubic_comes_back_exactly()
    {
        static double Cubic(double x) => 0.3 - 0.2 * x + 0.05 * x * x - 0.004 * x * x * x;
        var spline = new EvenSpline([.. Enumerable.Range(0, 12).Select(i => Cubic(i))]);
        for (var x = 0.0; x <= 11; x += 0.17)
            Measured.Within(Cubic(x), spline.At(x), 10 * Rounding, $"cubic at {x}");
    }

    [Theory, InlineData(2), InlineData(3)]
    public void Two_or_three_points_are_met_and_a_line_stays_a_line(int count)
    {
        var bent = new EvenSpline([.. new[] { 1.0, -0.5, 0.75 }.Take(count)]);
        var straight = new EvenSpline([.. new[] { 1.0, 1.5, 2.0 }.Take(count)]);
        Assert.Equal(1, bent.At(0));
        Assert.Equal(-0.5, bent.At(1));
        for (var x = -1.0; x <= count; x += 0.25)
            Measured.Within(1 + 0.5 * x, straight.At(x), Rounding, $"line at {x}");
    }

    [Fact]
    public void One_point_is_refused() => Assert.Throws<ArgumentException>(() => new EvenSpline([1]));

    [Fact]
    public void Reading_allocates_nothing()
    {
        var spline = new EvenSpline(Reference.Column("spline.csv", "values-30"));
        var sum = spline.At(0.5);
        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var x = -2.0; x < 32; x += 0.01)
            sum += spline.At(x);
        Assert.Equal(before, GC.GetAllocatedBytesForCurrentThread());
        Assert.True(double.IsFinite(sum));
    }

    [Theory, InlineData(0), InlineData(1e300), InlineData(5e-324)]
    public void Any_size_of_value_gives_a_finite_curve(double size)
    {
        var spline = new EvenSpline([.. Enumerable.Range(0, 9).Select(i => i % 2 == 0 ? size : -size)]);
        for (var x = -1.0; x < 10; x += 0.1)
            Assert.True(double.IsFinite(spline.At(x)), $"not finite at {x}");
    }
}
