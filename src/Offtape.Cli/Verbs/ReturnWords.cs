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
            // With several captures the table says from which of them each take is.
            var several = result.Sheet.Captures.Count > 1;
            string[] columns = ["sound", ">place", ">speed", ">wobble", ">sure", "take"];
            sheet.Table(
                several ? [.. columns, "capture"] : columns,
                found.Select(t => (IReadOnlyList<string>)(several ? [.. Cells(t), Path.GetFileName(t.Capture ?? "")] : Cells(t)))
            );
            sheet.Line();
        }
        SayWarnings(found, sheet);
        SayGrid(found, sheet);
        SayTries(result.Sheet.Tries, sheet);
        foreach (var take in takes.Where(t => !t.Found))
            sheet.Paragraph(take.Sentence);
        foreach (var capture in result.Sheet.UnmatchedCaptures)
            sheet.Paragraph($"{Path.GetFileName(capture)} holds none of these sounds.");
        sheet.Paragraph(
            $"Found {found.Length} of {takes.Count}. "
                + (
                    found.Length > 0
                        ? $"The takes are in {request.TargetFolder}; {result.SheetPath} has the numbers."
                        : $"See {result.SheetPath}."
                )
        );
    }

    // What steady keeps of the movement moves beats: by how much at most.
    private static void SayGrid(ReturnTake[] found, Sheet sheet)
    {
        var steady = found.Where(t => t.GridDistanceMilliseconds.ContainsKey("steady")).ToArray();
        if (steady.Length == 0)
            return;
        var widest = steady.MaxBy(t => t.GridDistanceMilliseconds["steady"])!;
        sheet.Paragraph(
            $"In steady a beat is at most {Words.Number(widest.GridDistanceMilliseconds["steady"], 2)} ms from its place in the song"
                + (steady.Length > 1 ? $" ({widest.Source})." : ".")
        );
    }

    // Several tries of one sound are laid over each other to choose, or to blend: how near they lie says whether that rings.
    private static void SayTries(IReadOnlyList<ReturnTries> tries, Sheet sheet)
    {
        foreach (var same in tries)
        {
            var distances = same
                .OffsetMicroseconds.Zip(same.SpreadMicroseconds, (o, s) => Math.Abs(o ?? double.NaN) + (s ?? double.NaN))
                .ToArray();
            var words = Array.Exists(distances, double.IsNaN)
                ? "they could not all be compared with each other"
                : $"along their maps they lie within {Words.Number(distances.Max() * 1e-3, 3)} ms of each other";
            sheet.Paragraph($"{same.Source} came back {same.Takes.Count} times: {words}.");
        }
    }

    // What is to be said of several takes is said once.
    private static void SayWarnings(ReturnTake[] found, Sheet sheet)
    {
        foreach (var same in found.SelectMany(t => t.Warnings.Select(w => (t.Source, w.Text))).GroupBy(w => w.Text, w => w.Source))
        {
            string[] sources = [.. same.Distinct()];
            var who = sources.Length == found.Length && found.Length > 2 ? $"All {found.Length}" : Words.List(sources);
            sheet.Paragraph($"{who}: {same.Key}");
        }
    }

    private static string[] Cells(ReturnTake take) =>
        [
            take.Source,
            take.CaptureStartSeconds is { } start ? Words.Clock(start) : "",
            take.SpeedRatio is { } ratio ? Words.Signed(Conversions.RatioToPercent(ratio), 2) + " %" : "not known",
            take.WobblePeakCents is { } cents ? Words.Number(cents, 0) + " cents" : "not known",
            Words.Number(take.Confidence, 2),
            take.File ?? "",
        ];
}
