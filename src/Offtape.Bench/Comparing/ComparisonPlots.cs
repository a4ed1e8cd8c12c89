using Offtape.Base;
using Offtape.Report;

namespace Offtape.Bench;

/// <summary>Pictures of a comparison: curves of one quantity over each other, and figures against the day.</summary>
public static class ComparisonPlots
{
    private const int MostReports = 6;
    private const int MostTrends = 8;
    private static readonly InkRole[] Inks = [InkRole.Ink, InkRole.Accent, InkRole.Warn, InkRole.Soft];

    // What is laid over each other, channel by channel.
    private static readonly PlotSpec[] Overlaid =
    [
        new("response", "Response", "level against 1 kHz", "At −20 dB, one line a report.", new PlotPick("response", "−20 dB"))
        {
            MinX = 20,
            MaxX = 20_000,
            MinY = -15,
            MaxY = 6,
        },
        new("noise", "Noise", "level of each third of an octave", "What is heard when nothing is played.", new PlotPick("noiseSpectrum"))
        {
            MinX = 20,
            MaxX = 20_000,
        },
        new(
            "distortion",
            "Distortion against level",
            "third harmonic",
            "At 315 Hz; where it passes 3 % a tape is called full (MOL).",
            new PlotPick("thirdHarmonic", "315 Hz")
        )
        {
            Scale = AxisScale.Logarithmic,
        },
    ];

    /// <summary>File name, plot and the sentence under it.</summary>
    public static IReadOnlyList<(string Name, PlotModel Plot, string Says)> Of(
        BenchComparison comparison,
        IReadOnlyList<BenchReport> reports
    ) => [.. Overlaid.SelectMany(spec => OverEachOther(spec, comparison, reports)), .. OverTime(comparison, reports)];

    private static IEnumerable<(string Name, PlotModel Plot, string Says)> OverEachOther(
        PlotSpec spec,
        BenchComparison comparison,
        IReadOnlyList<BenchReport> reports
    )
    {
        var drawn = reports
            .Take(MostReports)
            .SelectMany((r, i) => r.Curves.Where(spec.Picks[0].Takes).Select(c => (Report: i, Curve: c)))
            .Where(c => c.Curve.X.Length > 1 && c.Curve.Y.Count(double.IsFinite) > 1)
            .GroupBy(c => c.Curve.Channel)
            // One report alone is in its own page.
            .Where(g => g.Select(c => c.Report).Distinct().Count() > 1)
            .OrderBy(g => g.Key);
        foreach (var channel in drawn)
        {
            var unit = channel.First().Curve.YUnit;
            var isLevel = channel.First().Curve.XUnit != "Hz";
            var plot = new PlotModel(
                channel.Key is { } c ? $"{spec.Title}, channel {c}" : spec.Title,
                isLevel
                    ? Axis.Linear(QuantityWords.OfUnit(channel.First().Curve.XUnit), channel.First().Curve.XUnit)
                    : Axis.Frequency("frequency", spec.MinX, spec.MaxX),
                new Axis(spec.Y, unit, channel.All(x => x.Curve.Y.All(y => !(y <= 0))) ? spec.Scale : AxisScale.Linear)
                {
                    Min = spec.MinY,
                    Max = spec.MaxY,
                }
            );
            foreach (var (report, curve) in channel.DistinctBy(x => x.Report))
                plot = plot.With(
                    new LineSeries(comparison.Reports[report].Label, curve.X, curve.Y)
                    {
                        Ink = Inks[report % Inks.Length],
                        IsDashed = report >= Inks.Length,
                    }
                );
            yield return (channel.Key is { } n ? $"compare-{spec.Name}-{n}.svg" : $"compare-{spec.Name}.svg", plot, spec.Says);
        }
    }

    // The figures asked for first, those that changed before the others.
    private static IEnumerable<(string Name, PlotModel Plot, string Says)> OverTime(
        BenchComparison comparison,
        IReadOnlyList<BenchReport> reports
    )
    {
        var days = reports.Select(TrendFit.Day).ToArray();
        if (!comparison.IsOverTime || days.OfType<double>().Distinct().Count() < 2)
            yield break;
        var asked = reports.SelectMany(BenchGlance.Of).Select(r => (r.Quantity, r.Condition)).Distinct().ToList();
        var groups = comparison
            .Readings.Where(r => asked.Contains((r.Quantity, r.Condition)))
            .GroupBy(r => (r.Quantity, r.Condition, r.Unit))
            .Where(g => g.Any(r => r.Figures.Count(f => f is { Value: not null, Uncertainty: > 0 }) > 1))
            .OrderByDescending(g => g.Any(r => r.IsChanged))
            .ThenBy(g => asked.IndexOf((g.Key.Quantity, g.Key.Condition)))
            .Take(MostTrends)
            .ToArray();
        var first = days.OfType<double>().Min();
        for (var k = 0; k < groups.Length; k++)
        {
            var group = groups[k];
            var plot = new PlotModel(
                char.ToUpperInvariant(QuantityWords.Of(group.Key.Quantity)[0]) + QuantityWords.Of(group.Key.Quantity)[1..],
                Axis.Linear($"days since {comparison.Reports[Array.FindIndex(days, d => d == first)].Date}"),
                Axis.Linear(group.Key.Condition.Length > 0 ? group.Key.Condition : "figure", group.Key.Unit)
            )
            {
                HeightPixels = 200,
            };
            foreach (var reading in group)
            {
                int[] at = [.. Enumerable.Range(0, days.Length).Where(i => days[i] is not null && reading.Figures[i].Value is not null)];
                var ink = Inks[((reading.Channel ?? 1) - 1) % Inks.Length];
                double[] x = [.. at.Select(i => days[i]!.Value - first)];
                double[] y = [.. at.Select(i => reading.Figures[i].Value!.Value)];
                double[] reach = [.. at.Select(i => reading.Figures[i].Uncertainty ?? 0)];
                var label = reading.Channel is { } c ? $"channel {c}" : "";
                plot = plot.With(
                    new BandSeries("", x, [.. y.Zip(reach, (v, u) => v - u)], [.. y.Zip(reach, (v, u) => v + u)]) { Ink = ink },
                    new LineSeries(label, x, y) { Ink = ink },
                    new PointSeries("", x, y) { Ink = ink }
                );
            }
            yield return ($"compare-trend-{k + 1}.svg", plot, "The band holds each figure 95 times in 100.");
        }
    }
}
