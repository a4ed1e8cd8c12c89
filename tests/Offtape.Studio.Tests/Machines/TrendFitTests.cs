using Offtape.Testing;

namespace Offtape.Studio.Tests.Machines;

/// <summary>
/// Lines through figures against certified values (NIST Statistical Reference Datasets, linear regression, "Norris"), closed forms, and the truth of
/// invented readings; coverage factors after JCGM 100:2008, table G.2.
/// </summary>
public sealed class TrendFitTests
{
    // NIST StRD, Norris: y, x.
    private static readonly double[] Norris =
    [
        0.1,
        0.2,
        338.8,
        337.4,
        118.1,
        118.2,
        888.0,
        884.6,
        9.2,
        10.1,
        228.1,
        226.5,
        668.5,
        666.3,
        998.5,
        996.3,
        449.1,
        448.6,
        778.9,
        777.0,
        559.2,
        558.2,
        0.3,
        0.4,
        0.1,
        0.6,
        778.1,
        775.5,
        668.8,
        666.9,
        339.3,
        338.0,
        448.9,
        447.5,
        10.8,
        11.6,
        557.7,
        556.0,
        228.3,
        228.1,
        998.0,
        995.8,
        888.8,
        887.6,
        119.6,
        120.2,
        0.3,
        0.3,
        0.6,
        0.3,
        557.6,
        556.8,
        339.3,
        339.1,
        888.0,
        887.2,
        998.5,
        999.0,
        778.9,
        779.0,
        10.2,
        11.1,
        117.6,
        118.3,
        228.9,
        229.2,
        668.4,
        669.1,
        449.2,
        448.9,
        0.2,
        0.5,
    ];

    private const double CertifiedSlope = 1.00211681802045;
    private const double CertifiedSlopeDeviation = 0.429796848199937e-3;

    [Fact]
    public void Slope_and_its_deviation_are_the_certified_ones()
    {
        var x = Norris.Where((_, i) => i % 2 == 1).ToArray();
        var y = Norris.Where((_, i) => i % 2 == 0).ToArray();
        var line = TrendFit.Fit(x, y, new double?[x.Length])!.Value;
        // Nine digits of fifteen: what double arithmetic leaves of 36 figures of three decades.
        Measured.Within(CertifiedSlope, line.Slope, 1e-9);
        // 34 degrees of freedom; table G.2 is used to 20, where it says 2.09.
        Measured.Within(2.09 * CertifiedSlopeDeviation, line.SlopeUncertainty, 1e-9);
    }

    /// <summary>Two figures: slope Δy/Δx, and the root of the sum of squares of their uncertainties over Δx.</summary>
    [Fact]
    public void Two_figures_have_the_line_between_them()
    {
        var line = TrendFit.Fit([10, 110], [3, 5], [0.3, 0.4])!.Value;
        Measured.Within(0.02, line.Slope, 1e-15);
        Measured.Within(0.5 / 100, line.SlopeUncertainty, 1e-15);
    }

    /// <summary>Equal weights, figures 0, 2, 1 at 0, 1, 2: slope 1/2, squares of what is left 3/2; 12.71 · √(3/2 / 2).</summary>
    [Fact]
    public void Where_figures_scatter_more_than_they_say_the_scatter_counts()
    {
        var line = TrendFit.Fit([0, 1, 2], [0, 2, 1], [0.01, 0.01, 0.01])!.Value;
        Measured.Within(0.5, line.Slope, 1e-12);
        Measured.Within(12.71 * Math.Sqrt(1.5 / 2), line.SlopeUncertainty, 1e-9);
    }

    [Fact]
    public void What_has_no_line_gets_none()
    {
        Assert.Null(TrendFit.Fit([1], [1], [0.1]));
        Assert.Null(TrendFit.Fit([1, 2], [1, 2], [0.1, null]));
        Assert.Null(TrendFit.Fit([3, 3, 3], [1, 2, 3], [0.1, 0.1, 0.1]));
    }

    /// <summary>
    /// 4,000 invented histories of a known slope and Gaussian errors: the interval holds the truth 95.4 times in 100 where uncertainties are right
    /// (factor 2), 95 times where they are not known; four standard deviations of the count are allowed (1.3 per cent).
    /// </summary>
    [Theory]
    [InlineData(true, 2, 0.9545)]
    [InlineData(false, 6, 0.95)]
    public void The_interval_holds_the_truth_as_often_as_it_says(bool isKnown, int count, double share)
    {
        const int histories = 4000;
        const double slope = 0.013;
        var random = new Random(3);
        var held = 0;
        for (var h = 0; h < histories; h++)
        {
            var days = Enumerable.Range(0, count).Select(i => 30.0 * i + 10 * random.NextDouble()).ToArray();
            var sigmas = days.Select(_ => isKnown ? 0.2 + random.NextDouble() : 0.7).ToArray();
            var values = days.Select((d, i) => 5 + slope * d + sigmas[i] * Gauss(random)).ToArray();
            var line = TrendFit.Fit(days, values, [.. sigmas.Select(s => isKnown ? 2 * s : (double?)null)])!.Value;
            if (Math.Abs(line.Slope - slope) <= line.SlopeUncertainty)
                held++;
        }
        Measured.Within(share, held / (double)histories, 4 * Math.Sqrt(share * (1 - share) / histories));
    }

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
