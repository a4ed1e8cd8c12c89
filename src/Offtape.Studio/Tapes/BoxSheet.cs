using Offtape.Base;
using Offtape.Report;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>What is written on a tape's box: for each side what stands where, latest recordings only, with counter and time.</summary>
public static class BoxSheet
{
    /// <param name="tape">The tape.</param>
    /// <param name="speed">Times are told at this speed where a recording's own is not known.</param>
    /// <param name="counter">Counter of the machine; null where none is known.</param>
    public static BoxCard Of(TapeEntry tape, TapeSpeed speed, CounterCurve? counter = null)
    {
        var shape = tape.IsCassette ? BoxShape.CassetteCard : BoxShape.ReelBox;
        List<(string, string)> facts = [];
        if (tape.Type is { Length: > 0 } type)
            facts.Add(("type", type));
        if (tape.LengthMetres is { } metres)
            facts.Add(("length", $"{Quantity.Of(metres, 0, "m")}, {Words.Duration(metres * 100 / speed.CmPerSecond)} at {speed}"));
        if (tape.Format is { } format)
            facts.Add(("tracks", format.Name));
        if (tape.Note.Length > 0)
            facts.Add(("note", tape.Note));
        return new BoxCard(shape, tape.Name, Spine(tape), facts, [.. tape.Sides.Select(s => Side(s, speed, counter))])
        {
            MoreText = "see the log",
        };
    }

    private static string Spine(TapeEntry tape) =>
        string.Join(
            " · ",
            new[]
            {
                tape.Type is { Length: > 0 } type ? $"type {type}" : null,
                tape.LengthMetres is { } m ? Quantity.Of(m, 0, "m") : null,
            }.OfType<string>()
        );

    private static ReportTable Side(TapeSide side, TapeSpeed speed, CounterCurve? counter)
    {
        var table = ReportTable.Create($"Side {side.Name}").Words("what").Figures("at");
        if (counter is not null)
            table = table.Figures("counter");
        table = table.Figures("lasts").Figures("times");
        foreach (var use in Latest(side))
        {
            var own = use.Now.SpeedCmPerSecond is { } known ? new TapeSpeed(known) : speed;
            List<TableCell> cells =
            [
                (use.Now.What.Length > 0 ? use.Now.What : "recorded") + (use.Now.IsReversed ? ", backwards" : "") + Tracks(use),
                Clock(use.FromMetres / own.MetresPerSecond),
            ];
            if (counter is not null)
                cells.Add(counter.CounterAt(use.FromMetres) is { } shown ? $"{shown:000}" : "–");
            cells.Add(Clock((use.ToMetres - use.FromMetres) / own.MetresPerSecond));
            cells.Add($"{use.Times}");
            table = table.Row([.. cells]);
        }
        return table;
    }

    private static string Clock(double seconds) => Words.ClockToSecond(seconds);

    private static string Tracks(StretchUse use) => use.Tracks.Count == 0 ? "" : $", track {string.Join(", ", use.Tracks)}";

    /// <summary>What stands on the side now: one line for each recording that is still there, with the tracks it is there on.</summary>
    public static IReadOnlyList<StretchUse> Latest(TapeSide side)
    {
        int[] tracks =
            side.TrackNumbers.Count > 0
                ? [.. side.TrackNumbers]
                : [.. side.Stretches.SelectMany(s => s.Tracks).Append(1).Distinct().Order()];
        return
        [
            .. tracks
                .SelectMany(t => side.Uses(t).Select(u => (Track: t, Use: u)))
                .GroupBy(u => u.Use)
                .Select(g => g.Key with { Tracks = IsWhole(g.Key, g.Count()) ? [] : [.. g.Select(u => u.Track)] })
                .OrderBy(u => u.FromMetres)
                .ThenBy(u => u.ToMetres)
                .ThenBy(u => u.Tracks is [var first, ..] ? first : 0),
        ];

        // Where the format is not known, all of the side is what the recording itself says.
        bool IsWhole(StretchUse use, int count) => count == tracks.Length && (side.TrackNumbers.Count > 0 || use.Now.Tracks.Count == 0);
    }
}
