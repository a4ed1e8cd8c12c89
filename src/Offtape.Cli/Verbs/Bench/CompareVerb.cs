using System.CommandLine;
using Offtape.Base;
using Offtape.Bench;
using Offtape.Cli.Shell;

namespace Offtape.Cli.Verbs.Bench;

/// <summary>Holds reports of one machine, or of several, against each other.</summary>
internal static class CompareVerb
{
    private const int MostRows = 24;

    public static Verb Create()
    {
        var reports = SoundArguments.Many(
            "REPORT",
            "two reports and more: the bench.json that bench read wrote, or its folder. The first of them, of one machine the earliest, is what the "
                + "others are held against"
        );
        var to = Quantities.Text(
            "--to",
            "DIR",
            "folder that receives compare.html, its plots and compare.json; nothing is written unless told"
        );
        var command = new Command("compare", "Says what changed between reports by more than their uncertainty.") { reports, to };
        return new Verb(
            command,
            "offtape bench compare spring autumn --to changes",
            (parsed, desk, _) =>
            {
                var result = BenchCompareJob.Run(
                    parsed.GetValue(reports)!,
                    parsed.GetValue(to),
                    $"Made by offtape {CommandLine.Version} bench compare.",
                    desk.Force
                );
                foreach (var notice in result.Comparison.Notices)
                    desk.Tell(notice);
                desk.Result(result.Comparison.ToJson(), sheet => Say(result, sheet));
                return ExitCode.Done;
            }
        );
    }

    private static void Say(BenchCompareResult result, Sheet sheet)
    {
        var comparison = result.Comparison;
        sheet.Paragraph(comparison.Summary).Line();
        Rows(comparison, ComparisonWords.Changed(comparison), comparison.IsOverTime ? "Changed:" : "Different:", sheet);
        if (comparison.Trends.Count > 0)
        {
            sheet.Line("With time:");
            foreach (var trend in comparison.Trends)
                sheet.Paragraph(ComparisonWords.Trend(trend) + ".", "  ");
            sheet.Line();
        }
        Rows(comparison, ComparisonWords.MayBeTheRun(comparison), "Different as two runs of one machine may be:", sheet);
        var same = ComparisonWords.Same(comparison);
        if (same.Count > 0)
            sheet
                .Paragraph(
                    $"Within uncertainty: {Words.List([.. same.Select(r => QuantityWords.Of(r.Quantity)).Distinct()])} "
                        + $"({Words.Count(same.Count, "figure")})."
                )
                .Line();
        var not = ComparisonWords.NotComparable(comparison);
        if (not.Count > 0)
        {
            sheet.Line("Not to be compared:");
            foreach (var (reason, what) in not)
                sheet.Paragraph($"{what}: {reason}.", "  ");
            sheet.Line();
        }
        sheet.Paragraph(ComparisonWords.HowFarApart);
        if (result.Files.Count > 0)
            sheet.Paragraph($"The page is {result.Files[1]}.");
    }

    private static void Rows(BenchComparison comparison, IReadOnlyList<ComparedReading> readings, string heading, Sheet sheet)
    {
        if (readings.Count == 0)
            return;
        sheet.Line(heading);
        var columns = new List<string> { "", "at", ">channel" };
        columns.AddRange(comparison.Reports.Select(r => ">" + r.Label));
        columns.AddRange(comparison.Reports.Count == 2 ? [">differs by", ""] : [""]);
        sheet.Table(
            columns,
            readings
                .Take(MostRows)
                .Select(r =>
                    (string[])
                        [
                            QuantityWords.Of(r.Quantity),
                            r.Condition,
                            $"{r.Channel}",
                            .. r.Figures.Select(f =>
                                (comparison.Reports.Count > 2 && f.Verdict == ComparisonVerdict.Changed ? "▲ " : "")
                                + ComparisonWords.Figure(f)
                            ),
                            .. comparison.Reports.Count == 2 ? [ComparisonWords.Difference(r.Figures[1])] : Array.Empty<string>(),
                            r.Unit,
                        ]
                )
        );
        if (readings.Count > MostRows)
            sheet.Line($"  and {readings.Count - MostRows} more, with --json or on the page");
        sheet.Line();
    }
}
