using Offtape.Base;
using Offtape.Report;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>How late a return off tape is: the distance from record to replay head, the delay and the speed, any two giving the third.</summary>
internal static class GapCalculation
{
    private const string Formula = "delay = distance ÷ speed";

    private const string OneHead = "On a machine with one head for both there is no such delay: the return is a second run.";

    private static readonly AskedField Distance = AskedField.Number(
        "distance",
        "Distance of the heads",
        "MM",
        "mm",
        "from the gap of the record head to the gap of the replay head, along the tape",
        0,
        10_000
    );

    private static readonly AskedField Delay = AskedField.Number(
        "delay",
        "Delay of the return",
        "MS",
        "ms",
        "how late the return is, without the delay of the interface",
        0,
        3_600_000
    );

    private static readonly AskedField Speed = AskedField.Speed("speed", "Tape speed", "tape speed, in cm/s or as 7.5ips");

    public static Calculation Create() =>
        new(
            "gap",
            "Says how late the replay head is behind the record head.",
            "--distance 38.1 --speed 19.05",
            [Distance, Delay, Speed],
            asked => Say(Answer(asked), asked.Number(Distance), asked.Number(Delay))
        )
        {
            Title = "Head distance and delay",
            Needs = "Distance or delay alone answers for every usual speed; any two of the three give the third.",
        };

    private static GapAnswer Answer(Asked asked) =>
        (asked.Number(Distance), asked.Number(Delay), asked.Number(Speed)) switch
        {
            ({ } d, null, { } v) => One(Row(v, d, d / (v * 10) * 1000)),
            (null, { } t, { } v) => One(Row(v, v * 10 * t / 1000, t)),
            ({ } d, { } t, null) => One(Row(d / 10 / (t / 1000), d, t)),
            ({ } d, null, null) => new GapAnswer(d, null, null, [.. Speeds().Select(v => Row(v, d, d / (v * 10) * 1000))], Formula),
            (null, { } t, null) => new GapAnswer(null, t, null, [.. Speeds().Select(v => Row(v, v * 10 * t / 1000, t))], Formula),
            (null, null, _) => throw Fault.Usage(
                $"{asked.Self} needs {asked.Call(Distance)} or {asked.Call(Delay)}",
                $"With {asked.Call(Speed)} as well it works out the third."
            ),
            _ => throw Fault.Usage(
                $"{asked.Self} takes two of {asked.Call(Distance, Delay, Speed)}, not all three",
                "Leave out the one that is wanted."
            ),
        };

    private static IEnumerable<double> Speeds() => TapeSpeeds.All.Select(s => s.Speed.CmPerSecond);

    private static GapAnswer One(GapRow row) => new(row.DistanceMillimetres, row.DelayMilliseconds, row.SpeedCmPerSecond, [row], Formula);

    private static GapRow Row(double cmPerSecond, double distanceMm, double delayMs) =>
        new(cmPerSecond, Conversions.CmToInches(cmPerSecond), distanceMm, delayMs);

    private static Calculated Say(GapAnswer answer, double? distanceMm, double? delayMs)
    {
        var said = new Calculated(answer, Formula) { Caution = OneHead };
        if (answer.Rows is [var row])
            return said with
            {
                Lead =
                [
                    $"Heads {Figures.Plain(row.DistanceMillimetres)} mm apart at {Figures.Speed(row.SpeedCmPerSecond)}: "
                        + $"the return is {Figures.Plain(row.DelayMilliseconds)} ms late.",
                ],
            };
        var table = ReportTable.Create("").Figures("cm/s").Figures("in/s").Figures(distanceMm is null ? "mm" : "ms");
        foreach (var r in answer.Rows)
            table = table.Row(
                Figures.Plain(r.SpeedCmPerSecond, 4),
                Figures.Plain(r.SpeedInchesPerSecond, 4),
                Figures.Plain(distanceMm is null ? r.DistanceMillimetres : r.DelayMilliseconds)
            );
        return said with
        {
            Lead =
            [
                distanceMm is { } d
                    ? $"Heads {Figures.Plain(d)} mm apart: the return is late by"
                    : $"A return {Figures.Plain(delayMs!.Value)} ms late: the heads are apart by",
            ],
            Table = table,
        };
    }
}
