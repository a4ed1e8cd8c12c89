using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Calculations;

/// <summary>The answer of <c>calc loop</c>.</summary>
internal sealed record LoopAnswer(
    double Beats,
    double TempoBpm,
    double SpeedCmPerSecond,
    double LengthCentimetres,
    double LengthInches,
    double TurnSeconds,
    double SpliceDegrees,
    double SpliceMilliseconds,
    double MillimetreIsMilliseconds,
    double MillimetreIsCents,
    string Formula
);

/// <summary>A loop of tape: bars, tempo, speed and length, any three giving the fourth; and what the splice sounds like.</summary>
internal static class LoopVerb
{
    private const string Formula =
        "length = beats · 60 ÷ tempo · speed; splice = width ÷ tan(angle) ÷ speed; cents a millimetre = 1200 · log2(1 + 1 mm ÷ length)";

    private const double UsualBeats = 4;
    private const double QuarterInchMm = 6.3;

    public static Verb Create()
    {
        var bars = Quantities.Number("--bars", "BARS", "how many bars go round", 0, 10_000);
        var beats = Quantities.Number("--beats", "BEATS", $"beats of a bar; {UsualBeats:0} unless told", 0, 1000);
        var tempo = Quantities.Number("--bpm", "BPM", "tempo", 0, 10_000);
        var speed = Quantities.Speed("--speed", "tape speed, in cm/s or as 7.5ips");
        var length = Quantities.Number("--length", "CM", "length from cut to cut along one edge", 0, 1_000_000);
        var width = Quantities.Number(
            "--width",
            "MM",
            $"width of the tape at the splice, or of the track; {QuarterInchMm} unless told",
            0,
            60
        );
        var angle = Quantities.Number(
            "--cut",
            "DEGREES",
            $"angle of the cut to the edge; {TapeLoop.UsualCutDegrees:0} unless told, 90 is straight across",
            1,
            90.000_001
        );
        var command = new Command("loop", "Says how long a loop of tape is cut for bars and a tempo.")
        {
            bars,
            beats,
            tempo,
            speed,
            length,
            width,
            angle,
        };
        return Verb.Answering(
            command,
            "offtape calc loop --bars 2 --bpm 84 --speed 19.05",
            parsed =>
                Answer(
                    parsed.GetValue(bars),
                    parsed.GetValue(beats) ?? UsualBeats,
                    parsed.GetValue(tempo),
                    parsed.GetValue(speed),
                    parsed.GetValue(length),
                    parsed.GetValue(width) ?? QuarterInchMm,
                    parsed.GetValue(angle) ?? TapeLoop.UsualCutDegrees
                ),
            CliJsonContext.Default.LoopAnswer,
            Say
        );
    }

    internal static LoopAnswer Answer(
        double? bars,
        double beatsPerBar,
        double? tempoBpm,
        double? speedCmPerSecond,
        double? lengthCm,
        double widthMm,
        double cutDegrees
    )
    {
        var beats = bars * beatsPerBar;
        return (beats, tempoBpm, speedCmPerSecond, lengthCm) switch
        {
            ({ } b, { } t, { } v, null) => Of(b, t, v, TapeLoop.LengthCm(b, t, new TapeSpeed(v))),
            ({ } b, null, { } v, { } l) => Of(b, TapeLoop.TempoBpm(b, l, new TapeSpeed(v)), v, l),
            (null, { } t, { } v, { } l) => Of(TapeLoop.Beats(t, l, new TapeSpeed(v)), t, v, l),
            ({ } b, { } t, null, { } l) => Of(b, t, SpeedFor(b, t, l), l),
            ({ }, { }, { }, { }) => throw Fault.Usage(
                "calc loop takes three of --bars, --bpm, --speed and --length, not all four",
                "Leave out the one that is wanted."
            ),
            _ => throw Fault.Usage(
                "calc loop needs three of --bars, --bpm, --speed and --length",
                "The fourth is worked out; see offtape calc loop --help."
            ),
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
        TapeLoop.SpeedCmPerSecond(beats, tempoBpm, lengthCm) is > 0.5 and < 400 and var speed
            ? speed
            : throw Fault.Usage(
                $"No tape speed makes {Figures.Plain(lengthCm, 2)} cm last {Figures.Plain(beats)} beats at {Figures.Plain(tempoBpm)} BPM",
                "Tape runs between 0.5 and 400 cm/s."
            );

    private static void Say(LoopAnswer answer, Sheet sheet)
    {
        sheet.Line(
            $"{Figures.Plain(answer.Beats)} beats at {Figures.Plain(answer.TempoBpm)} BPM and {Figures.Speed(answer.SpeedCmPerSecond)}: "
                + $"{Figures.Plain(answer.LengthCentimetres, 2)} cm ({Figures.Plain(answer.LengthInches, 3)} in) from cut to cut."
        );
        sheet
            .Line()
            .Table(
                ["", ">"],
                [
                    (string[])["a turn lasts", Figures.Plain(answer.TurnSeconds, 4) + " s"],
                    [
                        "at the splice one sound goes into the other in",
                        answer.SpliceMilliseconds > 0 ? Figures.Plain(answer.SpliceMilliseconds, 1) + " ms" : "no time: it clicks",
                    ],
                    ["a millimetre too long makes each turn late by", Figures.Plain(answer.MillimetreIsMilliseconds, 2) + " ms"],
                    ["and takes off the pitch control to hold the beat", Figures.Plain(answer.MillimetreIsCents, 2) + " cents"],
                ]
            )
            .Line()
            .Paragraph($"{Formula}. Measure along one edge; cut both ends at one angle; butt them without a gap, tape on the back.");
    }
}
