using Offtape.Base;
using Offtape.Bench;
using Offtape.Cli.Shell;

namespace Offtape.Cli.Verbs.Bench;

/// <summary>What <c>bench read</c> says: the sentence first, then the figures asked for first, what is not known and what was not heard.</summary>
internal static class BenchWords
{
    private const int MostGroups = 3;

    public static void Say(BenchReadResult result, Sheet sheet)
    {
        var report = result.Report;
        sheet.Paragraph(report.Summary).Line();
        var glance = BenchGlance.Of(report);
        if (glance.Count > 0)
            sheet
                .Table(
                    ["", "at", ">channel", ">figure", ">±", ""],
                    glance.Select(r =>
                        (string[])
                            [
                                QuantityWords.Of(r.Quantity),
                                r.Condition,
                                $"{r.Channel}",
                                ReadingFigures.Value(r),
                                ReadingFigures.Uncertainty(r),
                                r.Unit,
                            ]
                    )
                )
                .Line();
        SayDiagnosis(report.Diagnosis, sheet);
        // Of a capture in which nothing was found the first sentence says why.
        if (report.Runs.Count > 0)
        {
            SayUnknown(report, sheet);
            foreach (var group in report.Parts.Where(p => !p.Heard && p.IsAsked).GroupBy(p => p.Reason))
            {
                string[] names = [.. group.Select(p => p.Name)];
                sheet.Paragraph(
                    $"{Words.List(names)} {(names.Length == 1 ? "was" : "were")} not heard: {group.Key}.",
                    "  ",
                    sheet.Ink.Warn
                );
            }
        }
        foreach (var outside in report.OutsideLimits)
            sheet.Paragraph($"Outside your limit: {outside}.", "  ", sheet.Ink.Bad);
        sheet.Paragraph(
            $"± holds the truth 95 times in 100. All {Words.Count(report.Readings.Count(r => r.Value is not null), "figure")} and the curves are in "
                + $"{result.Files[1]} and {result.Files[0]}."
        );
    }

    private static void SayDiagnosis(Diagnosis? diagnosis, Sheet sheet)
    {
        if (diagnosis is null)
            return;
        sheet.Line("What it may be:");
        if (diagnosis.Findings.Count == 0)
            sheet.Paragraph(diagnosis.Summary, "  ");
        var groups = diagnosis.Findings.GroupBy(f => f.Group).ToArray();
        foreach (var group in groups.Take(MostGroups))
        {
            var first = group.First();
            sheet.Paragraph($"{first.Finding} ({first.Likelihood}). {first.Reason}", "  ");
            for (var i = 0; i < first.Steps.Count; i++)
            {
                sheet.Paragraph(first.Steps[i].Text, $"    {i + 1}. ");
                if (first.Steps[i].Caution is { } caution)
                    sheet.Paragraph(caution, "       ", sheet.Ink.Warn);
            }
            string[] rivals = [.. group.Skip(1).Select(f => $"{f.Finding} ({f.Likelihood})")];
            if (rivals.Length > 0)
                sheet.Paragraph($"Or it may be {string.Join("; ", rivals)}.", "    ");
        }
        if (groups.Length > MostGroups)
            sheet.Paragraph(
                $"Besides: {string.Join("; ", groups.Skip(MostGroups).Select(g => $"{g.First().Finding} ({g.First().Likelihood})"))}; the page has what to try.",
                "  "
            );
        sheet.Line();
    }

    // One line for a reason, whatever it keeps from being known.
    private static void SayUnknown(BenchReport report, Sheet sheet)
    {
        var unknown = report.Readings.Where(r => r.Value is null && r.AtMost is null && BenchReport.IsAsked(r)).ToArray();
        if (unknown.Length == 0)
            return;
        sheet.Line("Not known:");
        foreach (var group in unknown.GroupBy(r => r.Reason))
            sheet.Paragraph($"{string.Join("; ", group.Select(r => Name(r, report)).Distinct())}: {group.Key}", "  ");
        sheet.Line();
    }

    // Where the same was read elsewhere, which of them is meant.
    private static string Name(Reading reading, BenchReport report)
    {
        var name = QuantityWords.Of(reading.Quantity);
        if (!report.Readings.Any(r => r.Quantity == reading.Quantity && r.Value is not null))
            return name;
        string[] which =
        [
            .. reading.Condition.Length > 0 ? [reading.Condition] : Array.Empty<string>(),
            .. reading.Channel is { } c ? [$"channel {c}"] : Array.Empty<string>(),
        ];
        return which.Length == 0 ? name : $"{name} ({string.Join(", ", which)})";
    }
}
