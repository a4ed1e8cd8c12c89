using System.Globalization;

namespace Offtape.Bench;

/// <summary>A straight line of a figure against the day, weighted by the uncertainties (JCGM 100:2008, H.3; weighted least squares).</summary>
internal static class TrendFit
{
    private const int FewestDays = 3;
    private const double DaysPerYear = 365.25;

    internal static ReadingTrend[] All(IReadOnlyList<BenchReport> reports, IReadOnlyList<ComparedReading> readings)
    {
        var days = reports.Select(Day).ToArray();
        return
        [
            .. readings
                .Where(r => !r.Figures.Any(f => f.Verdict is ComparisonVerdict.RunToRun))
                .Select(r => Of(r, days))
                .OfType<ReadingTrend>()
                .Where(t => Math.Abs(t.PerYear) > t.PerYearUncertainty),
        ];
    }

    /// <summary>Days since the first of January of year 1; null where the report has none.</summary>
    internal static double? Day(BenchReport report) =>
        DateOnly.TryParseExact(report.Date, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day)
            ? day.DayNumber
            : null;

    private static ReadingTrend? Of(ComparedReading reading, double?[] days)
    {
        var points = reading
            .Figures.Select((f, i) => (Figure: f, Day: days[i]))
            .Where(p =>
                p.Figure.Verdict != ComparisonVerdict.NotComparable && p is { Day: not null, Figure: { Value: not null, Uncertainty: > 0 } }
            )
            .Select(p => (Day: p.Day!.Value, Value: p.Figure.Value!.Value, Weight: Math.Pow(p.Figure.Uncertainty!.Value, -2)))
            .ToArray();
        return points.Select(p => p.Day).Distinct().Count() < FewestDays ? null
            : Line(points) is var (slope, expanded)
                ? new ReadingTrend(
                    reading.Quantity,
                    reading.Channel,
                    reading.Condition,
                    reading.Unit,
                    slope * DaysPerYear,
                    expanded * DaysPerYear
                )
            : null;
    }

    /// <summary>Slope and its expanded uncertainty; widened where the points scatter about the line by more than their uncertainties allow.</summary>
    internal static (double Slope, double Expanded) Line(IReadOnlyList<(double Day, double Value, double Weight)> points)
    {
        var weight = points.Sum(p => p.Weight);
        var day = points.Sum(p => p.Weight * p.Day) / weight;
        var value = points.Sum(p => p.Weight * p.Value) / weight;
        var spread = points.Sum(p => p.Weight * (p.Day - day) * (p.Day - day));
        var slope = points.Sum(p => p.Weight * (p.Day - day) * (p.Value - value)) / spread;
        // Weights are those of expanded uncertainties: a scatter that fits them has a quarter of a unit for each degree of freedom.
        var scatter = points.Sum(p => p.Weight * Math.Pow(p.Value - value - slope * (p.Day - day), 2)) / (points.Count - 2);
        return (slope, Math.Sqrt(Math.Max(1, 4 * scatter) / spread));
    }
}
