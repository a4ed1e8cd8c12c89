using Offtape.Base;
using Offtape.Bench;
using Offtape.Cli.Shell;

namespace Offtape.Cli.Verbs.Bench;

/// <summary>What <c>bench read</c> says: the sentence first, then the figures asked for first, what is not known and what was not heard.</summary>
internal static class BenchWords
{
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
        SayUnknown(report, sheet);
        foreach (var part in report.Parts.Where(p => !p.Heard))
            sheet.Paragraph($"{part.Name} was not heard: {part.Reason}.", "  ", sheet.Ink.Warn);
        foreach (var outside in report.OutsideLimits)
            sheet.Paragraph($"Outside your limit: {outside}.", "  ", sheet.Ink.Bad);
        sheet.Paragraph(
            $"± holds the truth 95 times in 100. All {Words.Count(report.Readings.Count(r => r.Value is not null), "figure")} and the curves are in "
                + $"{result.Files[1]} and {result.Files[0]}."
        );
    }

    // One line for a reason, whatever it keeps from being known.
    private static void SayUnknown(BenchReport report, Sheet sheet)
    {
        var unknown = report.Readings.Where(r => r.Value is null && r.AtMost is null).ToArray();
        if (unknown.Length == 0)
            return;
        sheet.Line("Not known:");
        foreach (var group in unknown.GroupBy(r => r.Reason))
            sheet.Paragraph($"{Words.List([.. group.Select(r => QuantityWords.Of(r.Quantity)).Distinct()])}: {group.Key}", "  ");
        sheet.Line();
    }
}
