using Offtape.Base;
using Offtape.Cli.Shell;
using Offtape.Passes;

namespace Offtape.Cli.Verbs;

/// <summary>What <c>return</c> says: a table of the takes, then what each of them needs to have said.</summary>
internal static class ReturnWords
{
    public static void Say(ReturnResult result, ReturnRequest request, Sheet sheet)
    {
        var takes = result.Sheet.Takes;
        var found = takes.Where(t => t.Found).ToArray();
        if (found.Length > 0)
        {
            sheet.Table(
                ["sound", ">place", ">speed", ">wobble", ">sure", "take"],
                found.Select(t =>
                    (string[])
                        [
                            t.Source,
                            t.CaptureStartSeconds is { } start ? Words.Clock(start) : "",
                            t.SpeedRatio is { } ratio ? Words.Signed(Conversions.RatioToPercent(ratio), 2) + " %" : "not known",
                            t.WobblePeakCents is { } cents ? Words.Number(cents, 0) + " cents" : "not known",
                            Words.Number(t.Confidence, 2),
                            t.File ?? "",
                        ]
                )
            );
            sheet.Line();
        }
        foreach (var take in takes)
            sheet.Paragraph(take.Sentence);
        foreach (var capture in result.Sheet.UnmatchedCaptures)
            sheet.Paragraph($"{Path.GetFileName(capture)} holds none of these sounds.");
        sheet
            .Line()
            .Paragraph(
                $"Found {found.Length} of {takes.Count}. "
                    + (
                        found.Length > 0
                            ? $"The takes are in {request.TargetFolder}; {result.SheetPath} has the numbers."
                            : $"See {result.SheetPath}."
                    )
            );
    }
}
