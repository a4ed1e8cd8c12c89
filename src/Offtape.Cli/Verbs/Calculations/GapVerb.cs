using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Calculations;

/// <summary>How late a return off tape is: the distance from record to replay head, the delay and the speed, any two giving the third.</summary>
internal static class GapVerb
{
    private const string Formula = "delay = distance ÷ speed";

    public static Verb Create()
    {
        var distance = Quantities.Number(
            "--distance",
            "MM",
            "from the gap of the record head to the gap of the replay head, along the tape",
            0,
            10_000
        );
        var delay = Quantities.Number("--delay", "MS", "how late the return is, without the delay of the interface", 0, 3_600_000);
        var speed = Quantities.Speed("--speed", "tape speed, in cm/s or as 7.5ips");
        var command = new Command("gap", "Says how late the replay head is behind the record head.") { distance, delay, speed };
        return new Verb(
            command,
            "offtape calc gap --distance 38.1 --speed 19.05",
            (parsed, desk, _) => Run(parsed.GetValue(distance), parsed.GetValue(delay), parsed.GetValue(speed), desk)
        );
    }

    private static ExitCode Run(double? distanceMm, double? delayMs, double? speedCmPerSecond, Desk desk)
    {
        var answer = Answer(distanceMm, delayMs, speedCmPerSecond);
        desk.Result(answer, CliJsonContext.Default.GapAnswer, sheet => Say(answer, distanceMm, delayMs, sheet));
        return ExitCode.Done;
    }

    internal static GapAnswer Answer(double? distanceMm, double? delayMs, double? speedCmPerSecond) =>
        (distanceMm, delayMs, speedCmPerSecond) switch
        {
            ({ } d, null, { } v) => One(Row(v, d, d / (v * 10) * 1000)),
            (null, { } t, { } v) => One(Row(v, v * 10 * t / 1000, t)),
            ({ } d, { } t, null) => One(Row(d / 10 / (t / 1000), d, t)),
            ({ } d, null, null) => new GapAnswer(d, null, null, [.. Speeds().Select(v => Row(v, d, d / (v * 10) * 1000))], Formula),
            (null, { } t, null) => new GapAnswer(null, t, null, [.. Speeds().Select(v => Row(v, v * 10 * t / 1000, t))], Formula),
            (null, null, { }) or (null, null, null) => throw Fault.Usage(
                "calc gap needs --distance or --delay",
                "With --speed as well it works out the third; see offtape calc gap --help."
            ),
            _ => throw Fault.Usage(
                "calc gap takes two of --distance, --delay and --speed, not all three",
                "Leave out the one that is wanted."
            ),
        };

    private static IEnumerable<double> Speeds() => TapeSpeeds.All.Select(s => s.Speed.CmPerSecond);

    private static GapAnswer One(GapRow row) => new(row.DistanceMillimetres, row.DelayMilliseconds, row.SpeedCmPerSecond, [row], Formula);

    private static GapRow Row(double cmPerSecond, double distanceMm, double delayMs) =>
        new(cmPerSecond, Conversions.CmToInches(cmPerSecond), distanceMm, delayMs);

    private static void Say(GapAnswer answer, double? distanceMm, double? delayMs, Sheet sheet)
    {
        if (answer.Rows is [var row])
        {
            sheet.Line(
                $"Heads {Figures.Plain(row.DistanceMillimetres)} mm apart at {Figures.Speed(row.SpeedCmPerSecond)}: "
                    + $"the return is {Figures.Plain(row.DelayMilliseconds)} ms late."
            );
        }
        else
        {
            sheet.Line(
                distanceMm is { } d
                    ? $"Heads {Figures.Plain(d)} mm apart: the return is late by"
                    : $"A return {Figures.Plain(delayMs!.Value)} ms late: the heads are apart by"
            );
            sheet.Line();
            sheet.Table(
                [">cm/s", ">in/s", distanceMm is null ? ">mm" : ">ms"],
                answer.Rows.Select(r =>
                    (string[])
                        [
                            Figures.Plain(r.SpeedCmPerSecond, 4),
                            Figures.Plain(r.SpeedInchesPerSecond, 4),
                            Figures.Plain(distanceMm is null ? r.DistanceMillimetres : r.DelayMilliseconds),
                        ]
                )
            );
        }
        sheet.Line().Line($"{Formula}. On a machine with one head for both there is no such delay: the return is a second run.");
    }
}
