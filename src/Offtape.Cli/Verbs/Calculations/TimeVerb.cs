using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Calculations;

/// <summary>How long a tape plays: length, speed and time, any two giving the third; and which tape a time needs.</summary>
internal static class TimeVerb
{
    private const string Formula = "time = length ÷ speed";

    public static Verb Create()
    {
        var tape = Quantities.Text("--tape", "C60|1800ft|540m", "a tape by its name or length");
        var speed = Quantities.Speed("--speed", "tape speed, in cm/s or as 7.5ips");
        var minutes = Quantities.Number("--minutes", "MINUTES", "playing time of a side", 0, 100_000);
        var sides = Quantities.Whole("--sides", "N", "how many sides are used; 1 unless told", 1, 8);
        var command = new Command("time", "Says how long a tape plays, or how much tape a time needs.") { tape, speed, minutes, sides };
        return Verb.Answering(
            command,
            "offtape calc time --tape C60 --speed 9.525 --sides 2",
            parsed => Answer(parsed.GetValue(tape), parsed.GetValue(speed), parsed.GetValue(minutes), parsed.GetValue(sides) ?? 1),
            CliJsonContext.Default.TimeAnswer,
            Say
        );
    }

    internal static TimeAnswer Answer(string? tape, double? speedCmPerSecond, double? minutes, int sideCount)
    {
        var metres = tape is null ? (double?)null : LengthOf(tape);
        return (metres, speedCmPerSecond, minutes) switch
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
                "calc time needs --tape or --minutes",
                "With --speed as well it works out the third; see offtape calc time --help."
            ),
            _ => throw Fault.Usage(
                "calc time takes two of --tape, --speed and --minutes, not all three",
                "Leave out the one that is wanted."
            ),
        };
    }

    private static double SpeedFor(double metres, double minutes)
    {
        var speed = metres * 100 / (minutes * 60);
        return speed is > 0.5 and < 400
            ? speed
            : throw Fault.Usage(
                $"{Figures.Plain(metres, 1)} m in {Figures.Plain(minutes)} min is no tape speed",
                "Tape runs between 0.5 and 400 cm/s."
            );
    }

    /// <summary>"C60", "1800ft" or "540m" in metres.</summary>
    internal static double LengthOf(string tape) =>
        TapeLengths.MetresOf(tape) ?? throw Fault.Usage($"--tape is a cassette as C60, or a length as 1800ft or 540m, not \"{tape}\"");

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

    private static void Say(TimeAnswer answer, Sheet sheet)
    {
        if (answer.Rows is [var row])
        {
            sheet.Line(
                $"{Figures.Plain(row.LengthMetres, 1)} m of tape at {Figures.Speed(row.SpeedCmPerSecond)} play {Words.Duration(row.MinutesPerSide * 60)} a side."
            );
            if (answer.SideCount > 1)
                sheet.Line($"{answer.SideCount} sides: {Words.Duration(answer.TotalMinutes!.Value * 60)}.");
            if (answer.ShortestTapes.Count > 0)
                sheet.Line($"The shortest usual tape that holds it: a {string.Join(", or a ", answer.ShortestTapes)}.");
        }
        else
        {
            sheet.Line(
                answer.LengthMetres is { } metres
                    ? $"{Figures.Plain(metres, 1)} m of tape play"
                    : $"{Figures.Plain(answer.MinutesPerSide!.Value)} min need"
            );
            sheet.Line();
            sheet.Table(
                [">cm/s", ">in/s", answer.LengthMetres is null ? ">m" : ">min a side"],
                answer.Rows.Select(r =>
                    (string[])
                        [
                            Figures.Plain(r.SpeedCmPerSecond, 4),
                            Figures.Plain(r.SpeedInchesPerSecond, 4),
                            Figures.Plain(answer.LengthMetres is null ? r.LengthMetres : r.MinutesPerSide, 1),
                        ]
                )
            );
        }
        sheet
            .Line()
            .Paragraph(
                $"{Formula}. Real tape is a little longer than its name says, about {Words.Number(100 * TapeLength.UsualExcess, 0)} % on reels; "
                    + "no print should count on it."
            );
    }
}
