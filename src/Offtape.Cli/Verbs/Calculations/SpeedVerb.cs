using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Calculations;

/// <summary>What a speed does to pitch and tempo, from whichever of them is known, or how fast a machine really runs.</summary>
internal static class SpeedVerb
{
    /// <summary>The tone of IEC 60386, clause 3, for measuring speed and flutter.</summary>
    private const double StandardToneHz = 3150;

    public static Verb Create()
    {
        var ratio = Quantities.Number("--ratio", "RATIO", "speed against what was meant: 1.003 is 0.3 % fast", 0, 1000);
        var percent = Quantities.Number("--percent", "PERCENT", "speed error in per cent, sharp above zero", -100, 100_000);
        var cents = Quantities.Number("--cents", "CENTS", "pitch error in cents, sharp above zero", -12_000, 12_000);
        var heard = Quantities.Number("--heard", "HZ", "the frequency a recorded tone is heard at", 0, 1e6);
        var nominal = Quantities.Number("--nominal", "HZ", "the frequency the tone was made at; 3150 unless told", 0, 1e6);
        var length = Quantities.Number("--length", "METRES", "tape that ran past the heads, in metres", 0, 100_000);
        var over = Quantities.Number("--over", "SECONDS", "the time that length took", 0, 1e6);
        var lengthError = Quantities.Number("--length-error", "MM", "what that length may be off by", 0, 1e6);
        var overError = Quantities.Number("--over-error", "SECONDS", "what that time may be off by: a thumb on a stop watch 0.2", 0, 1e6);
        var from = Quantities.Speed("--from", "the speed that was meant, or the tape was recorded at");
        var to = Quantities.Speed("--to", "the speed it is played at");
        var tempo = Quantities.Number("--bpm", "BPM", "a tempo, to say what becomes of it", 0, 10_000);
        var command = new Command("speed", "Turns speed, pitch and tempo into each other, and finds how fast a machine runs.")
        {
            ratio,
            percent,
            cents,
            heard,
            nominal,
            length,
            over,
            lengthError,
            overError,
            from,
            to,
            tempo,
        };
        return Verb.Answering(
            command,
            "offtape calc speed --heard 3159.5 --bpm 84",
            parsed =>
                Answer(
                    new SpeedQuestion(
                        parsed.GetValue(ratio),
                        parsed.GetValue(percent),
                        parsed.GetValue(cents),
                        parsed.GetValue(heard),
                        parsed.GetValue(nominal),
                        parsed.GetValue(length),
                        parsed.GetValue(over),
                        parsed.GetValue(lengthError),
                        parsed.GetValue(overError),
                        parsed.GetValue(from),
                        parsed.GetValue(to),
                        parsed.GetValue(tempo)
                    )
                ),
            CliJsonContext.Default.SpeedAnswer,
            Say
        );
    }

    internal static SpeedAnswer Answer(SpeedQuestion q)
    {
        var measured =
            q.LengthMetres is { } metres && q.OverSeconds is { } seconds
                ? new MeasuredSpeed(metres * 100, (q.LengthErrorMm ?? 0) / 10, seconds, q.OverErrorSeconds ?? 0)
                : null;
        if (q.LengthMetres is null != q.OverSeconds is null)
            throw Fault.Usage("--length and --over belong together", "Say how much tape ran past, and in what time.");
        if (measured is null && (q.LengthErrorMm ?? q.OverErrorSeconds) is not null)
            throw Fault.Usage("--length-error and --over-error need --length and --over", "They say how sure those are.");
        if (q.NominalHz is not null && q.HeardHz is null)
            throw Fault.Usage("--nominal needs --heard", "Say at what frequency the tone is heard.");
        var ways = new List<(double Ratio, string Formula)>();
        if (q.Ratio is { } r)
            ways.Add((r, "ratio as given"));
        if (q.Percent is { } p)
            ways.Add((Conversions.PercentToRatio(p), "ratio = 1 + percent ÷ 100"));
        if (q.Cents is { } c)
            ways.Add((Conversions.CentsToRatio(c), "ratio = 2^(cents ÷ 1200)"));
        if (q.HeardHz is { } heardHz)
            ways.Add((heardHz / (q.NominalHz ?? StandardToneHz), "ratio = heard frequency ÷ nominal frequency"));
        if (measured?.CmPerSecond is { } speed)
        {
            if (q.ToCmPerSecond is not null)
                throw Fault.Usage(
                    "--length and --over already say how fast the tape runs: leave out --to",
                    "Give --from for the speed that was meant."
                );
            ways.Add(
                (q.FromCmPerSecond is { } meant ? speed / meant : double.NaN, "speed = length ÷ time; ratio = speed ÷ the speed meant")
            );
        }
        else if (q.FromCmPerSecond is { } a && q.ToCmPerSecond is { } b)
            ways.Add((b / a, "ratio = speed it is played at ÷ speed it was recorded at"));
        else if (q.FromCmPerSecond is not null != q.ToCmPerSecond is not null)
            throw Fault.Usage("--from and --to belong together", "Or give --from with --length and --over.");
        return ways switch
        {
            [] => throw Fault.Usage(
                "calc speed needs one thing to start from",
                "Give --ratio, --percent, --cents, --heard, --from with --to, or --length with --over."
            ),
            [var way] => SpeedAnswer.From(
                way.Ratio,
                measured?.CmPerSecond ?? q.ToCmPerSecond,
                q.TempoBpm,
                (q.LengthErrorMm ?? q.OverErrorSeconds) is null ? null : measured,
                way.Formula
            ),
            _ => throw Fault.Usage("calc speed starts from one thing at a time", "Ask once for each."),
        };
    }

    private static void Say(SpeedAnswer answer, Sheet sheet)
    {
        if (answer.SpeedCmPerSecond is { } speed)
            sheet.Line(
                answer.UncertaintyPercent is { } off
                    ? $"The tape runs at {Figures.Speed(speed)}, give or take {Figures.Plain(off, 3)} % ({Figures.Plain(answer.UncertaintyCents!.Value, 2)} cents)."
                    : $"The tape runs at {Figures.Speed(speed)}."
            );
        if (answer.SpeedRatio is { } ratio)
        {
            sheet
                .Line(
                    answer.SpeedErrorPercent switch
                    {
                        { } e when Math.Abs(e) < answer.UncertaintyPercent =>
                            "That is no nearer than it was measured: it may as well run as meant.",
                        > 0 => "It runs fast: everything is sharp and early.",
                        < 0 => "It runs slow: everything is flat and late.",
                        _ => "It runs as meant.",
                    }
                )
                .Line();
            List<IReadOnlyList<string>> rows =
            [
                (string[])["ratio", Figures.Plain(ratio, 6)],
                (string[])["speed error", Figures.Signed(answer.SpeedErrorPercent!.Value, 4) + " %"],
                (string[])["pitch", Figures.Signed(answer.PitchCents!.Value, 3) + " cents"],
                (string[])["a minute lasts", Figures.Plain(answer.MinuteLastsSeconds!.Value, 4) + " s"],
            ];
            if (answer.TempoBpm is { } bpm)
                rows.Add((string[])[$"{Figures.Plain(bpm)} BPM becomes", Figures.Plain(answer.TempoBecomesBpm!.Value, 3) + " BPM"]);
            sheet.Table(["", ">"], rows);
        }
        else
            sheet.Line("Give --from, the speed that was meant, for pitch and tempo.");
        var uncertainty = answer.UncertaintyPercent is null ? "" : "; off by √((length error ÷ length)² + (time error ÷ time)²)";
        sheet
            .Line()
            .Paragraph($"{answer.Formula}{uncertainty}; cents = 1200 · log2(ratio); tempo and pitch go with the ratio, time against it.");
    }
}
