using Offtape.Base;

namespace Offtape.Bench;

/// <summary>A comparison in words and figures, the same on a page, a command line and a screen.</summary>
public static class ComparisonWords
{
    private const int MostNamed = 3;

    /// <summary>How two uncertainties make one, for a reader.</summary>
    public const string HowFarApart =
        "A figure has changed where it lies farther from the first than both uncertainties reach together: each holds the truth 95 times in 100 "
        + "(k = 2), and their squares are added. Where nothing has changed, chance alone puts a figure so far away one time in twenty at most.";

    /// <summary>What has changed, most certain first.</summary>
    public static IReadOnlyList<ComparedReading> Changed(BenchComparison comparison) =>
        [.. comparison.Readings.Where(r => r.IsChanged).OrderByDescending(r => r.Weight)];

    /// <summary>What differs as two runs of one machine may.</summary>
    public static IReadOnlyList<ComparedReading> MayBeTheRun(BenchComparison comparison) =>
        [
            .. comparison
                .Readings.Where(r => !r.IsChanged && r.Figures.Any(f => f.Verdict == ComparisonVerdict.RunToRun))
                .OrderByDescending(r => r.Weight),
        ];

    /// <summary>What is the same in all reports that have it.</summary>
    public static IReadOnlyList<ComparedReading> Same(BenchComparison comparison) =>
        [
            .. comparison.Readings.Where(r =>
                r.Figures.Any(f => f.Verdict == ComparisonVerdict.Same)
                && !r.Figures.Any(f => f.Verdict is ComparisonVerdict.Changed or ComparisonVerdict.RunToRun)
            ),
        ];

    /// <summary>Every reason for which something cannot be compared, and what it keeps from being so.</summary>
    public static IReadOnlyList<(string Reason, string What)> NotComparable(BenchComparison comparison) =>
        [
            .. comparison
                .Readings.SelectMany(r =>
                    r.Figures.Where(f => f.Verdict == ComparisonVerdict.NotComparable).Select(f => (Reason: f.Reason!, r.Quantity))
                )
                .GroupBy(x => x.Reason)
                .Select(g => (g.Key, Words.List([.. g.Select(x => QuantityWords.Of(x.Quantity)).Distinct()]))),
        ];

    /// <summary>"balance, 1 kHz, 0 dB" or "treble limit (−3 dB), −20 dB, channel 2".</summary>
    public static string Name(ComparedReading reading) => Name(reading.Quantity, reading.Condition, reading.Channel);

    public static string Name(string quantity, string condition, int? channel) =>
        QuantityWords.Of(quantity) + (condition.Length > 0 ? $", {condition}" : "") + (channel is { } c ? $", channel {c}" : "");

    /// <summary>The figure with its uncertainty: "9.04 ± 0.11".</summary>
    public static string Figure(ComparedFigure figure)
    {
        if (figure.Value is { } value)
        {
            var decimals = ReadingFigures.Decimals(value, figure.Uncertainty);
            return Words.Number(value, decimals)
                + (figure.Uncertainty is > 0 ? $" ± {Words.Number(figure.Uncertainty.Value, decimals)}" : "");
        }
        return figure.AtMost is { } most ? $"< {Words.Number(most, ReadingFigures.Decimals(most, null))}" : "–";
    }

    /// <summary>The difference from the first, with its own uncertainty; empty where there is none.</summary>
    public static string Difference(ComparedFigure figure)
    {
        if (figure is not { Difference: { } difference, DifferenceUncertainty: { } reach })
            return "";
        var decimals = ReadingFigures.Decimals(difference, reach);
        return Words.Signed(difference, decimals) + (reach > 0 ? $" ± {Words.Number(reach, decimals)}" : "");
    }

    /// <summary>A trend in words: "treble limit (−3 dB), −20 dB, channel 1: −820 ± 90 Hz a year".</summary>
    public static string Trend(ReadingTrend trend)
    {
        var decimals = ReadingFigures.Decimals(trend.PerYear, trend.PerYearUncertainty);
        return $"{Name(trend.Quantity, trend.Condition, trend.Channel)}: {Words.Signed(trend.PerYear, decimals)} ± "
            + $"{Words.Number(trend.PerYearUncertainty, decimals)} {trend.Unit} a year";
    }

    internal static string Summary(BenchComparison comparison)
    {
        if (comparison.ComparedCount == 0)
            return "Nothing in these reports can be held against each other.";
        var changed = Changed(comparison);
        var chance = comparison.ExpectedByChance;
        var share = $"up to {Words.Number(Math.Ceiling(chance), 0)} of {comparison.ComparedCount} would by chance alone";
        if (changed.Count == 0)
            return $"None of {Words.Count(comparison.ComparedCount, "figure")} differs by more than its uncertainty ({share}).";
        string[] first = [.. changed.Select(r => QuantityWords.Of(r.Quantity)).Distinct().Take(MostNamed)];
        var words = comparison.IsOverTime ? "changed" : "different";
        var apart = comparison
            .Readings.SelectMany(r => r.Figures)
            .Count(f => f.Verdict == ComparisonVerdict.Changed && f.DifferenceUncertainty > 0);
        // As few as chance makes are no news of the machine.
        return apart <= chance
            ? $"{Words.Count(apart, "figure")} of {comparison.ComparedCount} differ{(apart == 1 ? "s" : "")} by more than uncertainty: no more than chance makes ({share})."
            : $"Most surely {words}: {Words.List(first)}; {Words.Count(apart, "figure")} of {comparison.ComparedCount} in all, where {share}.";
    }
}
