using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>Reports held against each other, by the arithmetic of JCGM 100:2008: uncertainties of independent figures add in squares.</summary>
public sealed class ReportComparerTests
{
    private static BenchReport Report(string machine, string? date, params Reading[] readings) =>
        BenchReportTests.Report(readings) with
        {
            Machine = machine,
            Date = date,
        };

    private static ComparedFigure Second(Reading first, Reading second, Func<BenchReport, BenchReport>? change = null)
    {
        var other = Report("deck", "2026-06-30", second);
        var comparison = ReportComparer.Compare([Report("deck", "2026-05-31", first), change is null ? other : change(other)]);
        return Assert.Single(comparison.Readings).Figures[1];
    }

    private static Reading Balance(double? value, double? uncertainty = null) =>
        BenchReportTests.Read("balance", value, uncertainty, at: "1 kHz, 0 dB");

    /// <summary>3 and 4 make 5: the difference that is no more than chance, and the one just beyond it.</summary>
    [Theory]
    [InlineData(4.99, ComparisonVerdict.Same)]
    [InlineData(-4.99, ComparisonVerdict.Same)]
    [InlineData(5.01, ComparisonVerdict.Changed)]
    [InlineData(-5.01, ComparisonVerdict.Changed)]
    public void A_change_is_more_than_both_uncertainties_in_squares(double difference, ComparisonVerdict wanted)
    {
        var figure = Second(Balance(10, 3), Balance(10 + difference, 4));
        Assert.Equal(wanted, figure.Verdict);
        Measured.Within(5, figure.DifferenceUncertainty!.Value, 1e-12);
        Measured.Within(difference, figure.Difference!.Value, 1e-12);
    }

    /// <summary>
    /// A thousand pairs of figures drawn from normal distributions about one truth: the difference passes twice its standard deviation in 4.55 of
    /// 100 (normal distribution). Tolerance: four standard deviations of a count of 5000, 1.2 of 100.
    /// </summary>
    [Fact]
    public void Chance_makes_as_many_changes_as_the_uncertainty_promises()
    {
        const int count = 5000;
        var dice = new Random(11);
        double Normal() => Math.Sqrt(-2 * Math.Log(1 - dice.NextDouble())) * Math.Cos(2 * Math.PI * dice.NextDouble());
        Reading[] Drawn() =>
            [
                .. Enumerable
                    .Range(0, count)
                    .Select(i =>
                    {
                        var uncertainty = 0.1 + i % 7;
                        return BenchReportTests.Read("balance", i + uncertainty / 2 * Normal(), uncertainty, at: $"{i}");
                    }),
            ];
        var comparison = ReportComparer.Compare([Report("deck", "2026-05-31", Drawn()), Report("deck", "2026-06-30", Drawn())]);
        Assert.Equal(count, comparison.ComparedCount);
        Measured.Within(250, comparison.ExpectedByChance, 1e-9);
        Measured.Within(0.0455, comparison.Readings.Count(r => r.IsChanged) / (double)count, 0.012, "share of changes by chance");
    }

    [Fact]
    public void What_noise_hides_is_a_change_only_where_the_limit_rules_the_other_out()
    {
        var hidden = Balance(null) with { AtMost = -60, Reason = "hidden" };
        Assert.Equal(ComparisonVerdict.Changed, Second(hidden, Balance(-50, 2)).Verdict);
        Assert.Equal(ComparisonVerdict.Changed, Second(Balance(-50, 2), hidden).Verdict);
        Assert.Equal(ComparisonVerdict.NotComparable, Second(hidden, Balance(-61, 2)).Verdict);
        Assert.Equal(ComparisonVerdict.NotComparable, Second(hidden, hidden).Verdict);
        Assert.Contains("not asked", Second(Balance(1, 1), Balance(null)).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void What_was_taken_differently_is_left_out_and_said()
    {
        var wobble = BenchReportTests.Read("weightedTwoSigma", 0.1, 0.01, "%");
        var rewound = Second(wobble, wobble with { Value = 0.4 }, r => r with { How = HowTaken.Rewound });
        Assert.Equal(ComparisonVerdict.NotComparable, rewound.Verdict);
        Assert.Contains("taken differently", rewound.Reason, StringComparison.Ordinal);
        // The balance of the channels is that of the heads, however it is heard.
        Assert.Equal(ComparisonVerdict.Changed, Second(Balance(0, 0.1), Balance(1, 0.1), r => r with { How = HowTaken.Rewound }).Verdict);
        var foreign = Second(Balance(0, 0.1), Balance(1, 0.1), r => r with { How = HowTaken.ForeignTape });
        Assert.Contains("another machine", foreign.Reason, StringComparison.Ordinal);
        var speed = Second(Balance(0, 0.1), Balance(1, 0.1), r => r with { Facts = r.Facts with { SpeedCmPerSecond = 9.5 } });
        Assert.Contains("other speed", speed.Reason, StringComparison.Ordinal);
        // Another machine at another speed is another machine: it differs, and a notice says at what speeds.
        var other = ReportComparer.Compare([
            Report("deck", null, Balance(0, 0.1)),
            Report("reel", null, Balance(1, 0.1)) with
            {
                Facts = new ReportFacts { SpeedCmPerSecond = 19.05 },
            },
        ]);
        Assert.False(other.IsOverTime);
        Assert.Equal(ComparisonVerdict.Changed, Assert.Single(other.Readings).Figures[1].Verdict);
        Assert.Contains(other.Notices, n => n.Code == "other-speed");
    }

    [Fact]
    public void A_part_that_was_not_heard_is_the_reason_for_a_missing_line()
    {
        var comparison = ReportComparer.Compare([
            Report("deck", "2026-05-31", Balance(0, 0.1)),
            Report("deck", "2026-06-30") with
            {
                Parts = [new ReportPart("level-1000", false, "the capture ends before it")],
            },
        ]);
        var figure = Assert.Single(comparison.Readings).Figures[1];
        Assert.Equal(ComparisonVerdict.NotComparable, figure.Verdict);
        Assert.Contains("level-1000 was not heard", figure.Reason, StringComparison.Ordinal);
    }

    /// <summary>Wobble of single runs differs by chance; from three runs each, their spread is in the uncertainty and a change is a change.</summary>
    [Theory]
    [InlineData(0.12, 1, ComparisonVerdict.RunToRun)]
    [InlineData(0.3, 1, ComparisonVerdict.Changed)]
    [InlineData(0.12, 3, ComparisonVerdict.Changed)]
    [InlineData(0.101, 1, ComparisonVerdict.Same)]
    public void Wobble_of_single_runs_may_be_the_run(double value, int runs, ComparisonVerdict wanted)
    {
        BenchReport Of(double percent, string date) =>
            Report("deck", date, BenchReportTests.Read("weightedTwoSigma", percent, 0.001, "%")) with
            {
                Runs =
                [
                    .. Enumerable.Repeat(
                        new ReportRun
                        {
                            File = "a.wav",
                            SampleRateHz = 48_000,
                            ChannelCount = 2,
                            StartSeconds = 0,
                            EndSeconds = 1,
                            SpeedRatio = 1,
                            Heard = [],
                            Missing = [],
                            Clipped = [],
                        },
                        runs
                    ),
                ],
            };
        var comparison = ReportComparer.Compare([Of(0.1, "2026-05-31"), Of(value, "2026-06-30")]);
        Assert.Equal(wanted, Assert.Single(comparison.Readings).Figures[1].Verdict);
    }

    [Fact]
    public void One_machine_is_put_in_order_of_time_and_labels_differ()
    {
        var comparison = ReportComparer.Compare([
            Report("deck", "2026-06-30", Balance(3, 0.1)),
            Report("Deck ", "2026-01-31", Balance(1, 0.1)),
            Report("deck", "2026-06-30", Balance(3, 0.1)),
        ]);
        Assert.True(comparison.IsOverTime);
        Assert.Equal(1, comparison.Readings[0].Figures[0].Value);
        Assert.Equal(3, comparison.Reports.Select(r => r.Label).Distinct().Count());
    }

    /// <summary>Points on a line of −2 dB a year, by weighted least squares; the tolerance is that of day counts against 365.25.</summary>
    [Fact]
    public void A_figure_that_falls_steadily_has_its_slope()
    {
        double[] years = [0, 0.5, 1, 2];
        var reports = years
            .Select(y =>
                Report(
                    "deck",
                    new DateOnly(2024, 1, 1).AddDays((int)Math.Round(y * 365.25)).ToString("yyyy-MM-dd"),
                    BenchReportTests.Read("balance", 1 - 2 * y, 0.1 + y, at: "1 kHz, 0 dB"),
                    BenchReportTests.Read("hum", -60 + 0.001 * y, 1, channel: 1)
                )
            )
            .ToArray();
        var trend = Assert.Single(ReportComparer.Compare(reports).Trends);
        Measured.Within(-2, trend.PerYear, 0.01);
        // A line through four points of known weight: 1/√Σw(x − x̄)², by hand.
        double[] weights = [.. years.Select(y => Math.Pow(0.1 + y, -2))];
        var middle = years.Zip(weights, (y, w) => y * w).Sum() / weights.Sum();
        Measured.Within(1 / Math.Sqrt(years.Zip(weights, (y, w) => w * (y - middle) * (y - middle)).Sum()), trend.PerYearUncertainty, 0.01);
    }
}
