using System.Globalization;
using Offtape.Base;

namespace Offtape.Bench;

/// <summary>
/// Holds reports against the first of them, figure by figure. Two figures differ where the distance between them is larger than both expanded
/// uncertainties together, their squares added (JCGM 100:2008, 5.1 and 6): with independent errors that happens by chance in fewer than one
/// of twenty.
/// </summary>
public static class ReportComparer
{
    private const double ChanceOfOne = 0.05;

    /// <param name="reports">At least two.</param>
    /// <param name="files">Where they came from, one each, or empty.</param>
    public static BenchComparison Compare(IReadOnlyList<BenchReport> reports, IReadOnlyList<string>? files = null)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(reports.Count, 2);
        var isOverTime = reports.Skip(1).All(r => Comparability.IsSameMachine(reports[0], r));
        var order = Enumerable.Range(0, reports.Count).ToArray();
        if (isOverTime)
            order = [.. order.OrderBy(i => reports[i].Date ?? "9999", StringComparer.Ordinal)];
        BenchReport[] ordered = [.. order.Select(i => reports[i])];
        string[] paths = [.. order.Select(i => files is null ? "" : files[i])];
        var labels = Labels(ordered, paths, isOverTime);
        ComparedReport[] heads = [.. ordered.Select((r, i) => ComparedReport.Of(r, paths[i], labels[i]))];
        var readings = Rows(ordered);
        var held = readings
            .SelectMany(r => r.Figures)
            .Count(f => f.Verdict is ComparisonVerdict.Same or ComparisonVerdict.Changed && f.DifferenceUncertainty > 0);
        var notices = Notices(ordered, labels).ToArray();
        var trends = isOverTime ? TrendFit.All(ordered, readings) : [];
        var comparison = new BenchComparison
        {
            IsOverTime = isOverTime,
            Reports = heads,
            Readings = readings,
            Trends = trends,
            ComparedCount = held,
            ExpectedByChance = held * ChanceOfOne,
            Notices = notices,
            Summary = "",
        };
        return comparison with { Summary = ComparisonWords.Summary(comparison) };
    }

    private static ComparedReading[] Rows(BenchReport[] reports)
    {
        // In the order of the first report that has it.
        var keys = new List<(string, int?, string)>();
        var seen = new HashSet<(string, int?, string)>();
        foreach (var key in reports.SelectMany(r => r.Readings).Select(r => r.Key))
        {
            if (seen.Add(key))
                keys.Add(key);
        }
        var byKey = Array.ConvertAll(reports, r => r.Readings.GroupBy(x => x.Key).ToDictionary(g => g.Key, g => g.First()));
        var none = Array.ConvertAll(reports, r => Comparability.WhyNone(reports[0], r));
        return
        [
            .. keys.Select(key =>
            {
                var own = Array.ConvertAll(byKey, d => d.GetValueOrDefault(key));
                return new ComparedReading
                {
                    Quantity = key.Item1,
                    Channel = key.Item2,
                    Condition = key.Item3,
                    Unit = own.OfType<Reading>().First().Unit,
                    Figures = [.. own.Select((reading, i) => Figure(key.Item1, reports, own[0], i, none[i]))],
                };

                ComparedFigure Figure(string quantity, BenchReport[] all, Reading? first, int i, string? whyNone)
                {
                    var figure = new ComparedFigure
                    {
                        Value = own[i]?.Value,
                        Uncertainty = own[i]?.Uncertainty,
                        AtMost = own[i]?.AtMost,
                    };
                    return i == 0 ? figure : Held(figure, quantity, all[0], all[i], first, own[i], whyNone);
                }
            }),
        ];
    }

    private static ComparedFigure Held(
        ComparedFigure figure,
        string quantity,
        BenchReport a,
        BenchReport b,
        Reading? first,
        Reading? second,
        string? whyNone
    )
    {
        ComparedFigure Not(string reason) => figure with { Verdict = ComparisonVerdict.NotComparable, Reason = reason };

        if (whyNone is not null)
            return Not(whyNone);
        if (first is null || second is null)
            return Not(WhyAbsent(first is null ? a : b, first is null ? "the first" : "this one", a.SheetId != b.SheetId));
        if (Comparability.WhyNot(quantity, a, b) is { } differently)
            return Not(differently);
        if (first.Unit != second.Unit)
            return Not($"in other units: {first.Unit} and {second.Unit}");
        if (first.Value is { } x && second.Value is { } y)
        {
            // Of a ranking or a count of likelihood no uncertainty is stated: it follows from other figures.
            if (first.Uncertainty is not { } ux || second.Uncertainty is not { } uy)
                return Not("no uncertainty is stated of it");
            var reach = Math.Sqrt(ux * ux + uy * uy);
            var isApart = Math.Abs(y - x) > reach;
            var mayBeTheRun = isApart && Math.Abs(y - x) <= double.Hypot(reach, Comparability.RunsApart(quantity, x, y, a, b));
            return figure with
            {
                Difference = y - x,
                DifferenceUncertainty = reach,
                Verdict =
                    !isApart ? ComparisonVerdict.Same
                    : mayBeTheRun ? ComparisonVerdict.RunToRun
                    : ComparisonVerdict.Changed,
                Reason = mayBeTheRun ? Comparability.MayBeTheRun : null,
            };
        }
        return Limited(figure, first, second, Not);
    }

    // One of them is only known not to exceed something: that is enough where the other is surely above it.
    private static ComparedFigure Limited(ComparedFigure figure, Reading first, Reading second, Func<string, ComparedFigure> not)
    {
        if (first.Value is { } was && second.AtMost is { } most)
            return was - (first.Uncertainty ?? 0) > most
                ? figure with
                {
                    Verdict = ComparisonVerdict.Changed,
                }
                : not("noise hides it in this one, and the limit does not rule the first's figure out");
        if (first.AtMost is { } limit && second.Value is { } now)
            return now - (second.Uncertainty ?? 0) > limit
                ? figure with
                {
                    Verdict = ComparisonVerdict.Changed,
                }
                : not("noise hid it in the first, and the limit does not rule this figure out");
        if (first.AtMost is not null && second.AtMost is not null)
            return not("noise hides it in both");
        return not(
            first.Value is null && first.AtMost is null
                ? $"not read in the first: {first.Reason}"
                : $"not read in this one: {second.Reason}"
        );
    }

    private static string WhyAbsent(BenchReport report, string which, bool isOtherSheet)
    {
        string[] missing = [.. report.Parts.Where(p => !p.Heard).Select(p => p.Name)];
        var parts = missing.Length == 0 ? "" : $"; {Words.List(missing)} {(missing.Length == 1 ? "was" : "were")} not heard there";
        return $"{which} has no such line"
            + (
                parts.Length > 0 ? parts
                : isOtherSheet ? "; its check signal has other parts"
                : "; it was found in one of them only"
            );
    }

    private static string[] Labels(BenchReport[] reports, string[] files, bool isOverTime)
    {
        string Short(BenchReport r) =>
            isOverTime ? r.Date ?? "no day"
            : r.Machine.Length > 0 ? r.Machine
            : "no name";
        var labels = Array.ConvertAll(reports, Short);
        // Of equal ones the day, then the folder, then a number tells.
        if (!isOverTime)
            labels = Apart(labels, i => reports[i].Date);
        labels = Apart(labels, i => Path.GetFileName(Path.GetDirectoryName(Path.GetFullPath(files[i].Length > 0 ? files[i] : "."))));
        return Apart(labels, i => (i + 1).ToString(CultureInfo.InvariantCulture));
    }

    // Of equal labels each gets one word more, where the words differ.
    private static string[] Apart(string[] labels, Func<int, string?> more)
    {
        var words = labels.Select((_, i) => more(i)).ToArray();
        return
        [
            .. labels.Select(
                (label, i) =>
                    words[i] is { Length: > 0 } word && labels.Where((l, k) => l == label && k != i && words[k] != word).Any()
                        ? $"{label}, {word}"
                        : label
            ),
        ];
    }

    private static IEnumerable<Notice> Notices(BenchReport[] reports, string[] labels)
    {
        var first = reports[0];
        for (var i = 1; i < reports.Length; i++)
        {
            var other = reports[i];
            if (Comparability.WhyNone(first, other) is { } why)
                yield return new Notice("not-comparable", $"{labels[i]} cannot be held against {labels[0]}: {why}.");
            else if (Comparability.OtherSpeed(first, other) is { } speeds)
                yield return new Notice(
                    "other-speed",
                    $"{labels[0]} and {labels[i]} ran at different speeds ({speeds}): each figure is that of its own."
                );
            if (first.How != other.How)
                yield return new Notice(
                    "taken-differently",
                    $"{labels[0]} was taken {Comparability.Words(first.How)}, {labels[i]} {Comparability.Words(other.How)}: "
                        + "wobble, delay and azimuth are left out of account."
                );
            if (first.SheetId != other.SheetId)
                yield return new Notice(
                    "other-parts",
                    $"{labels[0]} and {labels[i]} were read from different check signals: only what both have is held against each other."
                );
        }
    }
}
