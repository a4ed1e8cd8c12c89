using Offtape.Tape;

namespace Offtape.Passes.Slates;

/// <summary>Sorts the slates heard in a capture into runs of passes.</summary>
internal static class PassLocator
{
    // Two slates belong to one run when the time between them is what the sheet says, to within what a machine may be off or a hand may do
    // to it, or longer where the tape stood for a while.
    private const double SpacingTolerance = 0.13;
    private const double SpacingSlackSeconds = 0.05;
    private const double LongestStandSeconds = 30;

    /// <summary>The runs of the given sheets, in order of time; slates of no given sheet are handed back in <paramref name="strangers"/>.</summary>
    internal static List<LocatedPass> Locate(
        IReadOnlyList<DetectedSlate> heard,
        IReadOnlyList<PassSheet> sheets,
        int captureIndex,
        out List<DetectedSlate> strangers
    )
    {
        strangers = [];
        var runs = new List<(PassSheet Sheet, bool IsReversed, List<(SheetSlate Slate, DetectedSlate Unit, double Send)> Units)>();
        foreach (var unit in heard)
        {
            if (unit.Code is not { } code)
                continue;
            var placed = false;
            var isOurs = false;
            foreach (var sheet in sheets)
            {
                if (Slate.ShortPassNumber(sheet.PassId) != code.PassNumber)
                    continue;
                var slate = sheet.Slates.FirstOrDefault(s => s.Kind == code.Kind && IsNumber(s, code.Number));
                if (slate is null)
                    continue;
                isOurs = true;
                var send = slate.StartSeconds + unit.CentreInSlateSeconds;
                var run = runs.FindLastIndex(r =>
                    r.Sheet == sheet && r.IsReversed == unit.IsReversed && Continues(r.Units[^1], unit, send)
                );
                if (run >= 0)
                    runs[run].Units.Add((slate, unit, send));
                else
                    runs.Add((sheet, unit.IsReversed, [(slate, unit, send)]));
                placed = true;
                break;
            }
            if (!placed && !isOurs)
                strangers.Add(unit);
        }
        var located = runs.Select(r => Build(r.Sheet, r.IsReversed, r.Units, captureIndex)).ToList();
        strangers = Believed(strangers, located);
        return located;
    }

    // A worn deck may move a code chirp by a slot: another pass is believed where two units say the same, away from the slates of this one.
    private static List<DetectedSlate> Believed(List<DetectedSlate> strangers, List<LocatedPass> located)
    {
        strangers.RemoveAll(s =>
            located.Exists(l =>
                l.Sheet.Slates.Any(slate => Math.Abs(l.CaptureAt(slate.StartSeconds + slate.LengthSeconds / 2) - s.CentreSeconds) < 2)
            )
        );
        return [.. strangers.Where(s => strangers.Exists(o => o != s && o.Code!.Value.PassNumber == s.Code!.Value.PassNumber))];
    }

    private static bool IsNumber(SheetSlate slate, int number) => slate.Number % (slate.Kind == SlateKind.Gap ? 32 : 16) == number;

    private static bool Continues((SheetSlate Slate, DetectedSlate Unit, double Send) last, DetectedSlate unit, double send)
    {
        var sent = unit.IsReversed ? last.Send - send : send - last.Send;
        if (sent <= 0)
            return false;
        var heard = unit.CentreSeconds - last.Unit.CentreSeconds;
        var speed = 0.5 * (unit.SpeedRatio + last.Unit.SpeedRatio);
        var late = heard * speed - sent;
        return late > -SpacingTolerance * sent - SpacingSlackSeconds && late < SpacingTolerance * sent + LongestStandSeconds;
    }

    private static LocatedPass Build(
        PassSheet sheet,
        bool isReversed,
        List<(SheetSlate Slate, DetectedSlate Unit, double Send)> units,
        int captureIndex
    )
    {
        var anchors = new List<(double Send, double Capture)>();
        // A single unit still gives a line: its two instants lie half a second apart.
        if (units.Count == 1)
        {
            var unit = units[0].Unit;
            var rate = (isReversed ? -1 : 1) / unit.SpeedRatio;
            anchors.Add((units[0].Send - 0.2, unit.CentreSeconds - 0.2 * rate));
            anchors.Add((units[0].Send + 0.2, unit.CentreSeconds + 0.2 * rate));
        }
        else
        {
            anchors.AddRange(units.Select(u => (u.Send, u.Unit.CentreSeconds)));
        }
        return new LocatedPass
        {
            Sheet = sheet,
            CaptureIndex = captureIndex,
            IsReversed = isReversed,
            Anchors = [.. anchors.OrderBy(a => a.Send)],
            UnitSpeeds = [.. units.Select(u => (u.Send, u.Unit.SpeedRatio)).OrderBy(u => u.Send)],
            Missing = [.. sheet.Slates.Where(s => !units.Exists(u => u.Slate == s))],
        };
    }
}
