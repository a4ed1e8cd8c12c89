using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>Means and spreads of several runs, by arithmetic.</summary>
public sealed class RunMeanTests
{
    private static Reading Mean(params Reading[] readings) =>
        Assert.Single(RunMean.Of([.. readings.Select(r => new Findings { Readings = [r] })]).Readings);

    [Fact]
    public void Runs_that_agree_keep_their_own_uncertainty()
    {
        var mean = Mean(BenchReportTests.Read("a", 1.0, 0.5), BenchReportTests.Read("a", 1.1, 0.7));
        Measured.Within(1.05, mean.Value!.Value, 1e-12);
        Measured.Within(0.6, mean.Uncertainty!.Value, 1e-12);
        Assert.EndsWith("mean of 2 runs", mean.Method, StringComparison.Ordinal);
    }

    [Fact]
    public void Runs_that_differ_by_more_have_their_spread()
    {
        // 1, 2, 3: a standard deviation of 1, doubled.
        var mean = Mean(BenchReportTests.Read("a", 1, 0.1), BenchReportTests.Read("a", 2, 0.1), BenchReportTests.Read("a", 3, 0.1));
        Measured.Within(2, mean.Value!.Value, 1e-12);
        Measured.Within(2, mean.Uncertainty!.Value, 1e-12);
    }

    [Fact]
    public void What_one_run_could_not_read_the_other_gives_and_what_none_could_stays_unknown()
    {
        Assert.Equal(3, Mean(BenchReportTests.Read("a", null), BenchReportTests.Read("a", 3, 0.1)).Value);
        Assert.Equal("not asked", Mean(BenchReportTests.Read("a", null), BenchReportTests.Read("a", null)).Reason);
        var hidden = BenchReportTests.Read("a", null);
        Assert.Equal(-40, Mean(hidden with { AtMost = -50 }, hidden with { AtMost = -40 }).AtMost);
    }

    [Fact]
    public void Curves_at_the_same_places_are_averaged_and_others_are_not()
    {
        ReadingCurve Curve(double[] x, double[] y) =>
            new()
            {
                Quantity = "c",
                XUnit = "Hz",
                YUnit = "dB",
                X = x,
                Y = y,
                Uncertainty = [0.1, 0.1],
                Method = "by hand",
            };

        Findings Of(double[] x, double[] y) => new() { Curves = [Curve(x, y)] };

        var same = RunMean.Of([Of([1, 2], [1, 4]), Of([1, 2], [3, double.NaN])]).Curves[0];
        Assert.Equal([2.0, 4.0], same.Y);
        Measured.Within(2 * Math.Sqrt(2), same.Uncertainty[0], 1e-12);
        Measured.Within(0.1, same.Uncertainty[1], 1e-12);
        Assert.Equal([1.0, 4.0], RunMean.Of([Of([1, 2], [1, 4]), Of([1, 3], [3, 8])]).Curves[0].Y);
    }
}
