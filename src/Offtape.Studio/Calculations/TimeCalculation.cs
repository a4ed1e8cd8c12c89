using Offtape.Base;
using Offtape.Report;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>How long a tape plays: length, speed and time, any two giving the third; and which tape a time needs.</summary>
internal static class TimeCalculation
{
    private const string Formula = "time = length ÷ speed";

    private static readonly string Excess =
        $"Real tape is a little longer than its name says, about {Words.Number(100 * TapeLength.UsualExcess, 0)} % on reels; no print should count on it.";

    private static readonly AskedField Tape = TapeField();
    private static readonly AskedField Speed = AskedField.Speed("speed", "Tape speed", "tape speed, in cm/s or as 7.5ips");

    private static readonly AskedField Minutes = AskedField.Number(
        "minutes",
        "Playing time of a side",
        "MINUTES",
        "min",
        "playing time of a side",
        0,
        100_000
    );

    private static readonly AskedField Sides = SidesField();

    public static Calculation Create() =>
        new(
            "time",
            "Says how long a tape plays, or how much tape a time needs.",
            "--tape C60 --speed 9.525 --sides 2",
            [Tape, Speed, Minutes, Sides],
            asked => Say(Answer(asked))
        )
        {
            Title = "Playing time and length",
            Needs = "Tape or time alone answers for every usual speed; any two of tape, speed and time give the third.",
        };

    /// <summary>A tape by its name or length.</summary>
    internal static AskedField TapeField() =>
        AskedField.Text("tape", "Tape", "C60|1800ft|540m", "a tape by its name or length") with
        {
            Hint = "as C60, 1800ft or 540m",
        };

    internal static AskedField SidesField() =>
        AskedField.Whole("sides", "Sides that are used", "how many sides are used; 1 unless told", 1, 8) with
        {
            Hint = "1 unless told",
        };

    /// <summary>"C60", "1800ft" or "540m" in metres.</summary>
    internal static double LengthOf(string tape, string called) =>
        TapeLengths.MetresOf(tape) ?? throw Fault.Usage($"{called} is a cassette as C60, or a length as 1800ft or 540m, not \"{tape}\"");

    private static TimeAnswer Answer(Asked asked)
    {
        var tape = asked.Text(Tape);
        var metres = tape is null ? (double?)null : LengthOf(tape, asked.Call(Tape));
        var sideCount = asked.Whole(Sides) ?? 1;
        return (metres, asked.Number(Speed), asked.Number(Minutes)) switch
        {
            ({ } l, { } v, null) => One(tape, Row(v, l), sideCount, []),
            ({ } l, null, { } t) => One(tape, Row(SpeedFor(l, t), l), sideCount, []),
            (null, { } v, { } t) => One(null, Row(v, TapeLength.MetresNeeded(t * 60, new TapeSpeed(v))), sideCount, ShortestFor(v, t)),
            ({ } l, null, null) => Table(tape, l, null, sideCount, TapeSpeeds.All.Select(s => Row(s.Speed.CmPerSecond, l))),
            (null, null, { } t) => Table(
                null,
                null,
                t,
                sideCount,
                TapeSpeeds.All.Select(s => Row(s.Speed.CmPerSecond, TapeLength.MetresNeeded(t * 60, s.Speed)))
            ),
            (null, _, null) => throw Fault.Usage(
                $"{asked.Self} needs {asked.Call(Tape)} or {asked.Call(Minutes)}",
                $"With {asked.Call(Speed)} as well it works out the third."
            ),
            _ => throw Fault.Usage(
                $"{asked.Self} takes two of {asked.Call(Tape, Speed, Minutes)}, not all three",
                "Leave out the one that is wanted."
            ),
        };
    }

    private static double SpeedFor(double metres, double minutes)
    {
        var speed = metres * 100 / (minutes * 60);
        return speed is > AskedField.LeastSpeed and < AskedField.MostSpeed
            ? speed
            : throw Fault.Usage(
                $"{Figures.Plain(metres, 1)} m in {Figures.Plain(minutes)} min is no tape speed",
                $"Tape runs between {AskedField.LeastSpeed} and {AskedField.MostSpeed} cm/s."
            );
    }

    private static IReadOnlyList<string> ShortestFor(double speedCmPerSecond, double minutes) =>
        [.. TapeLengths.UsualFor(minutes * 60, new TapeSpeed(speedCmPerSecond)).Select(t => t.InWords)];

    private static TimeRow Row(double speedCmPerSecond, double metres) =>
        new(speedCmPerSecond, Conversions.CmToInches(speedCmPerSecond), metres, metres * 100 / speedCmPerSecond / 60);

    private static TimeAnswer One(string? tape, TimeRow row, int sideCount, IReadOnlyList<string> shortest) =>
        new(
            tape,
            row.LengthMetres,
            row.SpeedCmPerSecond,
            row.MinutesPerSide,
            sideCount,
            row.MinutesPerSide * sideCount,
            shortest,
            [row],
            Formula
        );

    private static TimeAnswer Table(string? tape, double? metres, double? minutes, int sideCount, IEnumerable<TimeRow> rows) =>
        new(tape, metres, null, minutes, sideCount, minutes * sideCount, [], [.. rows], Formula);

    private static Calculated Say(TimeAnswer answer)
    {
        var said = new Calculated(answer, Formula) { Caution = Excess };
        if (answer.Rows is [var row])
        {
            List<string> lead =
            [
                $"{Figures.Plain(row.LengthMetres, 1)} m of tape at {Figures.Speed(row.SpeedCmPerSecond)} play {Words.Duration(row.MinutesPerSide * 60)} a side.",
            ];
            if (answer.SideCount > 1)
                lead.Add($"{answer.SideCount} sides: {Words.Duration(answer.TotalMinutes!.Value * 60)}.");
            if (answer.ShortestTapes.Count > 0)
                lead.Add($"The shortest usual tape that holds it: a {string.Join(", or a ", answer.ShortestTapes)}.");
            return said with { Lead = lead };
        }
        var table = ReportTable.Create("").Figures("cm/s").Figures("in/s").Figures(answer.LengthMetres is null ? "m" : "min a side");
        foreach (var r in answer.Rows)
            table = table.Row(
                Figures.Plain(r.SpeedCmPerSecond, 4),
                Figures.Plain(r.SpeedInchesPerSecond, 4),
                Figures.Plain(answer.LengthMetres is null ? r.LengthMetres : r.MinutesPerSide, 1)
            );
        return said with
        {
            Lead =
            [
                answer.LengthMetres is { } metres
                    ? $"{Figures.Plain(metres, 1)} m of tape play"
                    : $"{Figures.Plain(answer.MinutesPerSide!.Value)} min need",
            ],
            Table = table,
        };
    }
}
