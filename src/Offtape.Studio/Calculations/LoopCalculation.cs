using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>A loop of tape: bars, tempo, speed and length, any three giving the fourth; and what the splice sounds like.</summary>
internal static class LoopCalculation
{
    private const string Formula =
        "length = beats · 60 ÷ tempo · speed; splice = width ÷ tan(angle) ÷ speed; cents a millimetre = 1200 · log2(1 + 1 mm ÷ length)";

    private const double UsualBeats = 4;
    private const double QuarterInchMm = 6.3;

    private static readonly AskedField Bars = AskedField.Number(
        "bars",
        "Bars that go round",
        "BARS",
        "",
        "how many bars go round",
        0,
        10_000
    );
    private static readonly AskedField BeatsOfABar = AskedField.Number(
        "beats",
        "Beats of a bar",
        "BEATS",
        "",
        $"beats of a bar; {UsualBeats:0} unless told",
        0,
        1000
    ) with
    {
        Hint = $"{UsualBeats:0} unless told",
    };
    private static readonly AskedField Tempo = AskedField.Number("bpm", "Tempo", "BPM", "BPM", "tempo", 0, 10_000);
    private static readonly AskedField Speed = AskedField.Speed("speed", "Tape speed", "tape speed, in cm/s or as 7.5ips");
    private static readonly AskedField Length = AskedField.Number(
        "length",
        "Length from cut to cut",
        "CM",
        "cm",
        "length from cut to cut along one edge",
        0,
        1_000_000
    );
    private static readonly AskedField Width = AskedField.Number(
        "width",
        "Width at the splice",
        "MM",
        "mm",
        $"width of the tape at the splice, or of the track; {QuarterInchMm} unless told",
        0,
        60
    ) with
    {
        Hint = $"{QuarterInchMm} unless told",
    };
    private static readonly AskedField Cut = AskedField.Number(
        "cut",
        "Angle of the cut to the edge",
        "DEGREES",
        "degrees",
        $"angle of the cut to the edge; {TapeLoop.UsualCutDegrees:0} unless told, 90 is straight across",
        1,
        90.000_001
    ) with
    {
        Hint = $"{TapeLoop.UsualCutDegrees:0} unless told; 90 is straight across",
    };

    public static Calculation Create() =>
        new(
            "loop",
            "Says how long a loop of tape is cut for bars and a tempo.",
            "--bars 2 --bpm 84 --speed 19.05",
            [Bars, BeatsOfABar, Tempo, Speed, Length, Width, Cut],
            asked => Say(Answer(asked))
        )
        {
            Title = "A loop of tape",
            Needs = "Any three of bars, tempo, speed and length give the fourth.",
        };

    private static LoopAnswer Answer(Asked asked)
    {
        var beats = asked.Number(Bars) * (asked.Number(BeatsOfABar) ?? UsualBeats);
        var (widthMm, cutDegrees) = (asked.Number(Width) ?? QuarterInchMm, asked.Number(Cut) ?? TapeLoop.UsualCutDegrees);
        return (beats, asked.Number(Tempo), asked.Number(Speed), asked.Number(Length)) switch
        {
            ({ } b, { } t, { } v, null) => Of(b, t, v, TapeLoop.LengthCm(b, t, new TapeSpeed(v))),
            ({ } b, null, { } v, { } l) => Of(b, TapeLoop.TempoBpm(b, l, new TapeSpeed(v)), v, l),
            (null, { } t, { } v, { } l) => Of(TapeLoop.Beats(t, l, new TapeSpeed(v)), t, v, l),
            ({ } b, { } t, null, { } l) => Of(b, t, SpeedFor(b, t, l), l),
            ({ }, { }, { }, { }) => throw Fault.Usage(
                $"{asked.Self} takes three of {asked.Call(Bars, Tempo, Speed, Length)}, not all four",
                "Leave out the one that is wanted."
            ),
            _ => throw Fault.Usage($"{asked.Self} needs three of {asked.Call(Bars, Tempo, Speed, Length)}", "The fourth is worked out."),
        };

        LoopAnswer Of(double b, double t, double v, double l) =>
            new(
                b,
                t,
                v,
                l,
                Conversions.CmToInches(l),
                l / v,
                cutDegrees,
                TapeLoop.SpliceSeconds(widthMm, cutDegrees, new TapeSpeed(v)) * 1000,
                TapeLoop.SecondsPerMillimetre(new TapeSpeed(v)) * 1000,
                TapeLoop.CentsToHold(1, l),
                Formula
            );
    }

    private static double SpeedFor(double beats, double tempoBpm, double lengthCm) =>
        TapeLoop.SpeedCmPerSecond(beats, tempoBpm, lengthCm) is > AskedField.LeastSpeed and < AskedField.MostSpeed and var speed
            ? speed
            : throw Fault.Usage(
                $"No tape speed makes {Figures.Plain(lengthCm, 2)} cm last {Figures.Plain(beats)} beats at {Figures.Plain(tempoBpm)} BPM",
                $"Tape runs between {AskedField.LeastSpeed} and {AskedField.MostSpeed} cm/s."
            );

    private static Calculated Say(LoopAnswer answer) =>
        new(answer, Formula)
        {
            Lead =
            [
                $"{Figures.Plain(answer.Beats)} beats at {Figures.Plain(answer.TempoBpm)} BPM and {Figures.Speed(answer.SpeedCmPerSecond)}: "
                    + $"{Figures.Plain(answer.LengthCentimetres, 2)} cm ({Figures.Plain(answer.LengthInches, 3)} in) from cut to cut.",
            ],
            Facts =
            [
                ("a turn lasts", Figures.Plain(answer.TurnSeconds, 4) + " s"),
                (
                    "at the splice one sound goes into the other in",
                    answer.SpliceMilliseconds > 0 ? Figures.Plain(answer.SpliceMilliseconds, 1) + " ms" : "no time: it clicks"
                ),
                ("a millimetre too long makes each turn late by", Figures.Plain(answer.MillimetreIsMilliseconds, 2) + " ms"),
                ("and takes off the pitch control to hold the beat", Figures.Plain(answer.MillimetreIsCents, 2) + " cents"),
            ],
            Caution =
                "Measure along one edge; cut both ends at one angle; butt them without a gap, tape on the back. Mind the blade: cut away from the fingers.",
        };
}
