using Offtape.Base;
using Offtape.Report;

namespace Offtape.Bench;

/// <summary>The page of a comparison: what changed first, then pictures, then what did not and what cannot be told.</summary>
public static class ComparisonPage
{
    public static string Html(BenchComparison comparison, IReadOnlyList<BenchReport> reports, string footer)
    {
        var page = HtmlPage
            .Create(comparison.IsOverTime ? Title(comparison) : "Machines side by side")
            .Lead(comparison.Summary)
            .Footer(footer)
            .Facts([.. comparison.Reports.Select(r => (r.Label, About(r)))])
            .Notices(comparison.Notices);
        var changed = ComparisonWords.Changed(comparison);
        page = page.Section(comparison.IsOverTime ? "What changed" : "What differs", ComparisonWords.HowFarApart);
        page = changed.Count > 0 ? page.Table(Table("Differs by more than uncertainty", comparison, changed)) : page.Text("Nothing.");
        if (comparison.Trends.Count > 0)
        {
            page = page.Section("What moves with time", "A straight line through all days, each weighted by its uncertainty.");
            foreach (var trend in comparison.Trends)
                page = page.Text(ComparisonWords.Trend(trend) + ".");
        }
        var plots = ComparisonPlots.Of(comparison, reports);
        if (plots.Count > 0)
        {
            page = page.Section("Over each other");
            foreach (var (_, plot, says) in plots)
                page = page.Figure(plot, says);
        }
        var run = ComparisonWords.MayBeTheRun(comparison);
        if (run.Count > 0)
            page = page.Section("May be the run, not the machine", char.ToUpperInvariant(RunReason(run)[0]) + RunReason(run)[1..] + ".")
                .Table(Table("Differs as two runs of one machine may", comparison, run));
        var same = ComparisonWords.Same(comparison);
        if (same.Count > 0)
            page = page.Section("What did not change").Table(Table("Within uncertainty", comparison, same));
        var not = ComparisonWords.NotComparable(comparison);
        if (not.Count > 0)
        {
            var table = ReportTable.Create("What cannot be held against each other, and why").Words("what").Words("why");
            page = page.Section("What cannot be compared, and why").Table(not.Aggregate(table, (t, n) => t.Row(n.What, n.Reason)));
        }
        return page.ToHtml();
    }

    private static string RunReason(IReadOnlyList<ComparedReading> run) =>
        run.SelectMany(r => r.Figures).First(f => f.Verdict == ComparisonVerdict.RunToRun).Reason!;

    private static string Title(BenchComparison comparison) =>
        comparison.Reports[0].Machine is { Length: > 0 } machine ? $"{machine} over time" : "One machine over time";

    private static string About(ComparedReport report) =>
        string.Join(
            ", ",
            new[]
            {
                report.Machine,
                report.Date ?? "",
                $"taken {Comparability.Words(report.How)}",
                report.SpeedCmPerSecond is { } speed ? new TapeSpeed(speed).ToString() : "",
                Words.Count(report.RunCount, "run"),
            }.Where(w => w.Length > 0)
        );

    internal static ReportTable Table(string caption, BenchComparison comparison, IReadOnlyList<ComparedReading> rows)
    {
        var table = ReportTable.Create(caption).Words("what").Words("at").Figures("channel");
        for (var i = 0; i < comparison.Reports.Count; i++)
        {
            table = table.Figures(comparison.Reports[i].Label);
            if (i > 0)
                table = table.Figures("differs by");
        }
        table = table.Words("unit");
        foreach (var row in rows)
        {
            var cells = new List<TableCell> { QuantityWords.Of(row.Quantity), row.Condition, $"{row.Channel}" };
            for (var i = 0; i < row.Figures.Count; i++)
            {
                cells.Add(ComparisonWords.Figure(row.Figures[i]));
                if (i == 0)
                    continue;
                var difference = ComparisonWords.Difference(row.Figures[i]);
                var mark = row.Figures[i].Verdict == ComparisonVerdict.Changed ? "▲ " : "";
                cells.Add(
                    mark.Length > 0 ? new TableCell(mark + (difference.Length > 0 ? difference : "surely"), InkRole.Warn) : difference
                );
            }
            cells.Add(row.Unit);
            table = table.Row([.. cells]);
        }
        return table;
    }
}
