using Offtape.Base;
using Offtape.Cli.Shell;

namespace Offtape.Cli.Verbs.Tapes;

/// <summary>Tapes in words.</summary>
internal static class TapeWords
{
    public static void Full(TapeAnswer tape, Sheet sheet)
    {
        sheet.Line(sheet.Ink.Strong(tape.Name));
        string?[] facts =
        [
            tape.Format ?? tape.Medium,
            tape.Type is { } type ? $"type {type}" : null,
            tape.LengthMetres is { } metres ? $"{Figures.Plain(metres, 1)} m" : "length not known: tape add it with --length",
            tape.ThicknessMicrometres is { } micrometres ? $"{Figures.Plain(micrometres, 0)} µm thick" : null,
            tape.Note.Length > 0 ? tape.Note : null,
        ];
        sheet.Paragraph(string.Join(", ", facts.OfType<string>()) + $". Times are at {Figures.Speed(tape.SpeedCmPerSecond)}.", "  ");
        foreach (var side in tape.Sides)
            Side(side, sheet);
        if (tape.TurnedOver is { } turned)
            sheet.Line().Paragraph(turned, "  ");
    }

    private static void Side(SideAnswer side, Sheet sheet)
    {
        var plays = side.PlayingSeconds is { } seconds
            ? $" plays {Words.Duration(seconds)}, {Words.Duration(side.FreeSeconds!.Value)} free{(side.FreeByTrack.Count > 1 ? " on all tracks at once" : "")}"
            : "";
        sheet.Line().Line($"  Side {side.Side}{plays}");
        if (side.Recorded.Count > 0)
        {
            var hasCounter = side.Recorded.Any(r => r.Counter is not null);
            sheet.Table(
                [">from", ">to", .. hasCounter ? [">counter"] : Array.Empty<string>(), "what", ">times"],
                side.Recorded.Select(r =>
                    (string[])
                        [
                            Clock(r.FromSeconds),
                            Clock(r.ToSeconds),
                            .. hasCounter ? [r.Counter is { } shown ? Figures.Plain(shown, 0) : ""] : Array.Empty<string>(),
                            (r.What.Length > 0 ? r.What : "recorded")
                                + (r.Reversed ? ", backwards" : "")
                                + (r.Tracks.Count > 0 ? $", {Tracks(r.Tracks)}" : ""),
                            $"{r.Times}",
                        ]
                )
            );
        }
        foreach (var part in side.FreeByTrack)
        foreach (var free in part.Free)
            sheet.Line(
                $"  free{(part.Tracks.Count > 0 ? " on " + Tracks(part.Tracks) : "")}: {Clock(free.FromSeconds)} to {Clock(free.ToSeconds)}, {Words.Duration(free.ToSeconds - free.FromSeconds)}"
            );
        if (side.UnplacedCount > 0)
            sheet.Paragraph(
                $"{Words.Count(side.UnplacedCount, "pass", "passes")} of the log stand on it somewhere: printed without --start or without a speed.",
                "  ",
                sheet.Ink.Warn
            );
    }

    public static string Tracks(IReadOnlyList<int> tracks) => $"track {string.Join(", ", tracks)}";

    public static string Clock(double seconds) => Words.ClockToSecond(seconds);
}
