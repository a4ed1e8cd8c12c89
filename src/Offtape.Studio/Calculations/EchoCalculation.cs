using Offtape.Base;
using Offtape.Report;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>Echo by the distance of heads: which note a machine can do at a tempo, or what comes nearest.</summary>
internal static class EchoCalculation
{
    private const string Formula = "delay = distance ÷ (speed · (1 + pitch ÷ 100)); note = beats · 60 ÷ tempo, dotted · 3⁄2, triplet · 2⁄3";

    // Nearer than this an echo is on the note for any ear; it only keeps rounding from being told.
    private const double ExactMilliseconds = 0.05;

    private static readonly AskedField Distance = AskedField.Number(
        "distance",
        "Distance of the heads",
        "MM...",
        "mm",
        "from the record head to the replay head; several where there are several",
        0,
        10_000
    ) with
    {
        IsList = true,
        Hint = "several with a space between",
    };
    private static readonly AskedField Speed = AskedField.Speed(
        "speed",
        "The machine's speeds",
        "the machine's speeds, in cm/s or as 7.5ips; all usual ones unless told"
    ) with
    {
        Unit = "CM/S...",
        IsList = true,
        Hint = "all usual ones unless told",
    };
    private static readonly AskedField Range = AskedField.Number(
        "range",
        "Its pitch control goes each way by",
        "PERCENT",
        "%",
        "how far its pitch control goes each way; none unless told",
        0,
        90
    ) with
    {
        Hint = "none unless told",
    };
    private static readonly AskedField Tempo = AskedField.Number("bpm", "Tempo", "BPM", "BPM", "tempo", 0, 10_000);
    private static readonly AskedField Note = AskedField.Text(
        "note",
        "Notes",
        "NOTE...",
        "1/4, 1/8d (dotted), 1/8t (triplet); halves to thirty-seconds unless told"
    ) with
    {
        IsList = true,
        Hint = "as 1/4 1/8d 1/8t; all unless told",
    };
    private static readonly AskedField Delay = AskedField.Number(
        "delay",
        "Or a delay",
        "MS",
        "ms",
        "a delay instead of notes and a tempo",
        0,
        3_600_000
    );

    public static Calculation Create() =>
        new(
            "echo",
            "Says which echo a machine's heads can do, and what comes nearest to a note.",
            "--distance 50.8 --speed 19.05 38.1 --range 10 --bpm 84",
            [Distance, Speed, Range, Tempo, Note, Delay],
            asked => Say(Answer(asked))
        )
        {
            Title = "Echo",
            Needs = "The distance of the heads, and either a tempo or a delay.",
        };

    private static EchoAnswer Answer(Asked asked)
    {
        var (distancesMm, speeds, notes) = (asked.Numbers(Distance), asked.Numbers(Speed), asked.Texts(Note));
        var (rangePercent, tempoBpm, delayMs) = (asked.Number(Range) ?? 0, asked.Number(Tempo), asked.Number(Delay));
        if (distancesMm.Count == 0)
            throw Fault.Usage(
                $"{asked.Self} needs {asked.Call(Distance)}",
                "Measure from the gap of the record head to that of the replay head; a delay tells it as well."
            );
        if (tempoBpm is null == delayMs is null)
            throw Fault.Usage(
                $"{asked.Self} wants either {asked.Call(Tempo)} or {asked.Call(Delay)}",
                "With a tempo it answers for notes, with a delay for that delay."
            );
        if (delayMs is not null && notes.Count > 0)
            throw Fault.Usage($"{asked.Call(Note)} needs {asked.Call(Tempo)}", "A note has no length without a tempo.");
        var machine = speeds.Count > 0 ? [.. speeds.Select(s => new TapeSpeed(s))] : TapeSpeeds.All.Select(s => s.Speed).ToArray();
        var wanted = delayMs is { } ms
            ? [("as asked", ms / 1000)]
            : (notes.Count > 0 ? notes.Select(n => ReadNote(n, asked)) : NoteLength.All).Select(n => (n.Name, n.Seconds(tempoBpm!.Value)));
        return new EchoAnswer(
            tempoBpm,
            rangePercent,
            [.. wanted.Select(w => Row(w.Item1, TapeEcho.Nearest(w.Item2, distancesMm, machine, rangePercent)))],
            Formula
        );

        EchoRow Row(string name, EchoSetting setting) =>
            new(
                name,
                setting.WantedSeconds * 1000,
                setting.DistanceMm,
                setting.Speed.CmPerSecond,
                setting.PitchPercent,
                setting.Seconds * 1000,
                setting.ErrorSeconds * 1000,
                tempoBpm is { } tempo ? setting.ExactTempoBpm(tempo) : null
            );
    }

    private static NoteLength ReadNote(string text, Asked asked) =>
        NoteLength.Parse(text)
        ?? throw Fault.Usage($"{asked.Call(Note)} is 1/2 to 1/32, with d for dotted or t for triplet, not \"{text}\"");

    private static Calculated Say(EchoAnswer answer)
    {
        var hasPitch = answer.PitchRangePercent > 0;
        var hasTempo = answer.TempoBpm is not null;
        var table = ReportTable.Create("").Words(hasTempo ? "note" : "").Figures("wanted ms").Figures("heads mm").Figures("cm/s");
        if (hasPitch)
            table = table.Figures("pitch %");
        table = table.Figures("does ms").Figures("off by ms");
        if (hasTempo)
            table = table.Figures("exact at BPM");
        foreach (var r in answer.Rows)
            table = table.Row([
                r.Note,
                Figures.Plain(r.Milliseconds, 1),
                Figures.Plain(r.DistanceMillimetres),
                Figures.Plain(r.SpeedCmPerSecond, 4),
                .. hasPitch ? (TableCell[])[Figures.Signed(r.PitchPercent, 2)] : [],
                Figures.Plain(r.DoneMilliseconds, 1),
                Math.Abs(r.ErrorMilliseconds) < ExactMilliseconds ? "none" : Figures.Signed(r.ErrorMilliseconds, 1),
                .. hasTempo ? (TableCell[])[Figures.Plain(r.ExactTempoBpm!.Value, 2)] : [],
            ]);
        return new Calculated(answer, Formula)
        {
            Lead =
            [
                hasTempo
                    ? $"At {Figures.Plain(answer.TempoBpm!.Value)} BPM the nearest this machine does:"
                    : "The nearest this machine does:",
            ],
            Table = table,
            Caution = "The interface's own delay comes on top where the echo goes through it.",
        };
    }
}
