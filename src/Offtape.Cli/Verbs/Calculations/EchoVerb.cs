using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Calculations;

/// <summary>One note of <c>calc echo</c>, and the nearest that the machine does.</summary>
internal sealed record EchoRow(
    string Note,
    double Milliseconds,
    double DistanceMillimetres,
    double SpeedCmPerSecond,
    double PitchPercent,
    double DoneMilliseconds,
    double ErrorMilliseconds,
    double? ExactTempoBpm
);

/// <summary>The answer of <c>calc echo</c>.</summary>
internal sealed record EchoAnswer(double? TempoBpm, double PitchRangePercent, IReadOnlyList<EchoRow> Rows, string Formula);

/// <summary>Echo by the distance of heads: which note a machine can do at a tempo, or what comes nearest.</summary>
internal static class EchoVerb
{
    private const string Formula = "delay = distance ÷ (speed · (1 + pitch ÷ 100)); note = beats · 60 ÷ tempo, dotted · 3⁄2, triplet · 2⁄3";

    // Nearer than this an echo is on the note for any ear; it only keeps rounding from being told.
    private const double ExactMilliseconds = 0.05;

    public static Verb Create()
    {
        var distance = Quantities.Texts("--distance", "MM...", "from the record head to the replay head; several where there are several");
        var speed = Quantities.Texts("--speed", "CM/S...", "the machine's speeds, in cm/s or as 7.5ips; all usual ones unless told");
        var range = Quantities.Number("--range", "PERCENT", "how far its pitch control goes each way; none unless told", 0, 90);
        var tempo = Quantities.Number("--bpm", "BPM", "tempo", 0, 10_000);
        var note = Quantities.Texts("--note", "NOTE...", "1/4, 1/8d (dotted), 1/8t (triplet); halves to thirty-seconds unless told");
        var delay = Quantities.Number("--delay", "MS", "a delay instead of notes and a tempo", 0, 3_600_000);
        foreach (var list in new[] { distance, speed, note })
            list.Arity = ArgumentArity.ZeroOrMore;
        var command = new Command("echo", "Says which echo a machine's heads can do, and what comes nearest to a note.")
        {
            distance,
            speed,
            range,
            tempo,
            note,
            delay,
        };
        return Verb.Answering(
            command,
            "offtape calc echo --distance 50.8 --speed 19.05 38.1 --range 10 --bpm 84",
            parsed =>
                Answer(
                    Numbers(parsed.GetValue(distance) ?? [], "--distance", Quantities.ParseNumber, 0, 10_000),
                    Numbers(parsed.GetValue(speed) ?? [], "--speed", Quantities.ParseSpeed, 0.5, 400),
                    parsed.GetValue(range) ?? 0,
                    parsed.GetValue(tempo),
                    parsed.GetValue(note) ?? [],
                    parsed.GetValue(delay)
                ),
            CliJsonContext.Default.EchoAnswer,
            Say
        );
    }

    internal static EchoAnswer Answer(
        IReadOnlyList<double> distancesMm,
        IReadOnlyList<double> speeds,
        double rangePercent,
        double? tempoBpm,
        IReadOnlyList<string> notes,
        double? delayMs
    )
    {
        if (distancesMm.Count == 0)
            throw Fault.Usage(
                "calc echo needs --distance",
                "Measure from the gap of the record head to that of the replay head; calc gap works it out from a delay."
            );
        if (tempoBpm is null == delayMs is null)
            throw Fault.Usage("calc echo wants either --bpm or --delay", "With --bpm it answers for notes, with --delay for that delay.");
        if (delayMs is not null && notes.Count > 0)
            throw Fault.Usage("--note needs --bpm", "A note has no length without a tempo.");
        var machine = speeds.Count > 0 ? [.. speeds.Select(s => new TapeSpeed(s))] : TapeSpeeds.All.Select(s => s.Speed).ToArray();
        var wanted = delayMs is { } ms
            ? [("as asked", ms / 1000)]
            : (notes.Count > 0 ? notes.Select(Note) : NoteLength.All).Select(n => (n.Name, n.Seconds(tempoBpm!.Value)));
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

    private static NoteLength Note(string text) =>
        NoteLength.Parse(text) ?? throw Fault.Usage($"--note is 1/2 to 1/32, with d for dotted or t for triplet, not \"{text}\"");

    private static double[] Numbers(string[] texts, string name, Func<string, double?> read, double above, double below) =>
        [
            .. texts.Select(t =>
                read(t) is { } number && number > above && number < below
                    ? number
                    : throw Fault.Usage($"{name} lies between {above} and {below}, not \"{t}\"")
            ),
        ];

    private static void Say(EchoAnswer answer, Sheet sheet)
    {
        var hasPitch = answer.PitchRangePercent > 0;
        var hasTempo = answer.TempoBpm is not null;
        sheet.Line(
            hasTempo ? $"At {Figures.Plain(answer.TempoBpm!.Value)} BPM the nearest this machine does:" : "The nearest this machine does:"
        );
        string[] columns =
        [
            hasTempo ? "note" : "",
            ">wanted ms",
            ">heads mm",
            ">cm/s",
            .. hasPitch ? [">pitch %"] : Array.Empty<string>(),
            ">does ms",
            ">off by ms",
            .. hasTempo ? [">exact at BPM"] : Array.Empty<string>(),
        ];
        sheet
            .Line()
            .Table(
                columns,
                answer.Rows.Select(r =>
                    (string[])
                        [
                            r.Note,
                            Figures.Plain(r.Milliseconds, 1),
                            Figures.Plain(r.DistanceMillimetres, 2),
                            Figures.Plain(r.SpeedCmPerSecond, 4),
                            .. hasPitch ? [Figures.Signed(r.PitchPercent, 2)] : Array.Empty<string>(),
                            Figures.Plain(r.DoneMilliseconds, 1),
                            Math.Abs(r.ErrorMilliseconds) < ExactMilliseconds ? "none" : Figures.Signed(r.ErrorMilliseconds, 1),
                            .. hasTempo ? [Figures.Plain(r.ExactTempoBpm!.Value, 2)] : Array.Empty<string>(),
                        ]
                )
            )
            .Line()
            .Paragraph($"{Formula}. The interface's own delay comes on top where the echo goes through it.");
    }
}
