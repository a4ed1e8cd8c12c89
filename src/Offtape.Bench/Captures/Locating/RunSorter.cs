using Offtape.Passes;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>Sorts the slates heard in a capture into runs of check signals.</summary>
internal static class RunSorter
{
    // Two slates belong to one run when the time between them is what the sheet says, to within what a machine may be off or a hand may do
    // to it, or longer where the tape stood for a while.
    private const double SpacingTolerance = 0.13;
    private const double SpacingSlackSeconds = 0.05;
    private const double LongestStandSeconds = 30;

    private sealed record Run(BenchSheet Sheet, bool IsReversed, List<(SheetSlate Slate, DetectedSlate Unit, double Send)> Units);

    /// <summary>The runs of the given sheets in order of time. Of several sheets that fit a slate the first counts.</summary>
    internal static IReadOnlyList<LocatedRun> Sort(IReadOnlyList<DetectedSlate> heard, IReadOnlyList<BenchSheet> sheets)
    {
        var runs = new List<Run>();
        foreach (var unit in heard)
        {
            if (unit.Code is not { } code)
                continue;
            foreach (var sheet in sheets)
            {
                if (Slate.ShortPassNumber(sheet.SheetId) != code.PassNumber)
                    continue;
                if (sheet.Slates.FirstOrDefault(s => s.Kind == code.Kind && IsNumber(s, code.Number)) is not { } slate)
                    continue;
                var send = slate.StartSeconds + unit.CentreInSlateSeconds;
                var run = runs.FindLast(r => r.Sheet == sheet && r.IsReversed == unit.IsReversed && Continues(r.Units[^1], unit, send));
                if (run is null)
                    runs.Add(run = new Run(sheet, unit.IsReversed, []));
                run.Units.Add((slate, unit, send));
                break;
            }
        }
        return [.. runs.Select(Located)];
    }

    private static bool IsNumber(SheetSlate slate, int number) => slate.Number % (slate.Kind == SlateKind.Gap ? 32 : 16) == number;

    private static bool Continues((SheetSlate Slate, DetectedSlate Unit, double Send) last, DetectedSlate unit, double send)
    {
        var sent = unit.IsReversed ? last.Send - send : send - last.Send;
        if (sent <= 0)
            return false;
        var speed = 0.5 * (unit.SpeedRatio + last.Unit.SpeedRatio);
        var late = (unit.CentreSeconds - last.Unit.CentreSeconds) * speed - sent;
        return late > -SpacingTolerance * sent - SpacingSlackSeconds && late < SpacingTolerance * sent + LongestStandSeconds;
    }

    // The two units of a head or tail slate stand so close that wobble would bend the line through them: their mean is one anchor.
    private static LocatedRun Located(Run run) =>
        new()
        {
            Sheet = run.Sheet,
            IsReversed = run.IsReversed,
            Anchors =
            [
                .. run
                    .Units.GroupBy(u => u.Slate)
                    .Select(g => (g.Average(u => u.Send), g.Average(u => u.Unit.CentreSeconds), g.Average(u => u.Unit.SpeedRatio)))
                    .OrderBy(a => a.Item1),
            ],
        };
}
