using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>What a speed does to pitch and tempo, from whichever of them is known, or how fast a machine really runs.</summary>
internal static class SpeedCalculation
{
    /// <summary>The tone of IEC 60386, clause 3, for measuring speed and flutter.</summary>
    private const double StandardToneHz = 3150;

    private static readonly AskedField Ratio = AskedField.Number(
        "ratio",
        "Speed against what was meant",
        "RATIO",
        "as a ratio",
        "speed against what was meant: 1.003 is 0.3 % fast",
        0,
        1000
    );
    private static readonly AskedField Percent = AskedField.Number(
        "percent",
        "Speed error",
        "PERCENT",
        "%",
        "speed error in per cent, sharp above zero",
        -100,
        100_000
    );
    private static readonly AskedField Cents = AskedField.Number(
        "cents",
        "Pitch error",
        "CENTS",
        "cents",
        "pitch error in cents, sharp above zero",
        -12_000,
        12_000
    );
    private static readonly AskedField Heard = AskedField.Number(
        "heard",
        "A tone is heard at",
        "HZ",
        "Hz",
        "the frequency a recorded tone is heard at",
        0,
        1e6
    );
    private static readonly AskedField Nominal = AskedField.Number(
        "nominal",
        "It was made at",
        "HZ",
        "Hz",
        $"the frequency the tone was made at; {StandardToneHz} unless told",
        0,
        1e6
    ) with
    {
        Hint = $"{StandardToneHz} unless told",
    };
    private static readonly AskedField Length = AskedField.Number(
        "length",
        "Tape that ran past the heads",
        "METRES",
        "m",
        "tape that ran past the heads, in metres",
        0,
        100_000
    );
    private static readonly AskedField Over = AskedField.Number(
        "over",
        "In the time of",
        "SECONDS",
        "s",
        "the time that length took",
        0,
        1e6
    );
    private static readonly AskedField LengthError = AskedField.Number(
        "length-error",
        "The length may be off by",
        "MM",
        "mm",
        "what that length may be off by",
        0,
        1e6
    );
    private static readonly AskedField OverError = AskedField.Number(
        "over-error",
        "The time may be off by",
        "SECONDS",
        "s",
        "what that time may be off by: a thumb on a stop watch 0.2",
        0,
        1e6
    ) with
    {
        Hint = "a thumb on a stop watch: 0.2",
    };
    private static readonly AskedField From = AskedField.Speed(
        "from",
        "Speed that was meant",
        "the speed that was meant, or the tape was recorded at"
    );
    private static readonly AskedField To = AskedField.Speed("to", "Speed it is played at", "the speed it is played at");
    private static readonly AskedField Tempo = AskedField.Number(
        "bpm",
        "Tempo",
        "BPM",
        "BPM",
        "a tempo, to say what becomes of it",
        0,
        10_000
    );

    public static Calculation Create() =>
        new(
            "speed",
            "Turns speed, pitch and tempo into each other, and finds how fast a machine runs.",
            "--heard 3159.5 --bpm 84",
            [Ratio, Percent, Cents, Heard, Nominal, Length, Over, LengthError, OverError, From, To, Tempo],
            asked => Say(Answer(asked))
        )
        {
            Title = "Speed, pitch and tempo",
            Needs =
                "One thing to start from: a ratio, a speed error, a pitch error, a tone as it is heard, two speeds, or a length of tape and the time it took.",
        };

    private static SpeedAnswer Answer(Asked asked)
    {
        var (length, over) = (asked.Number(Length), asked.Number(Over));
        var (lengthError, overError) = (asked.Number(LengthError), asked.Number(OverError));
        var (from, to) = (asked.Number(From), asked.Number(To));
        var measured =
            length is { } metres && over is { } seconds
                ? new MeasuredSpeed(metres * 100, (lengthError ?? 0) / 10, seconds, overError ?? 0)
                : null;
        if (length is null != over is null)
            throw Fault.Usage($"{asked.Call(Length, Over)} belong together", "Say how much tape ran past, and in what time.");
        if (measured is null && (lengthError ?? overError) is not null)
            throw Fault.Usage($"{asked.Call(LengthError, OverError)} need {asked.Call(Length, Over)}", "They say how sure those are.");
        if (asked.Number(Nominal) is not null && asked.Number(Heard) is null)
            throw Fault.Usage($"{asked.Call(Nominal)} needs {asked.Call(Heard)}", "Say at what frequency the tone is heard.");
        var ways = new List<(double Ratio, string Formula)>();
        if (asked.Number(Ratio) is { } r)
            ways.Add((r, "ratio as given"));
        if (asked.Number(Percent) is { } p)
            ways.Add((Conversions.PercentToRatio(p), "ratio = 1 + percent ÷ 100"));
        if (asked.Number(Cents) is { } c)
            ways.Add((Conversions.CentsToRatio(c), "ratio = 2^(cents ÷ 1200)"));
        if (asked.Number(Heard) is { } heardHz)
            ways.Add((heardHz / (asked.Number(Nominal) ?? StandardToneHz), "ratio = heard frequency ÷ nominal frequency"));
        if (measured?.CmPerSecond is { } speed)
        {
            if (to is not null)
                throw Fault.Usage(
                    $"{asked.Call(Length, Over)} already say how fast the tape runs: leave out {asked.Call(To)}",
                    $"Give {asked.Call(From)} for the speed that was meant."
                );
            ways.Add((from is { } meant ? speed / meant : double.NaN, "speed = length ÷ time; ratio = speed ÷ the speed meant"));
        }
        else if (from is { } a && to is { } b)
            ways.Add((b / a, "ratio = speed it is played at ÷ speed it was recorded at"));
        else if (from is not null != to is not null)
            throw Fault.Usage($"{asked.Call(From, To)} belong together", $"Or give {asked.Call(From)} with {asked.Call(Length, Over)}.");
        return ways switch
        {
            [] => throw Fault.Usage(
                $"{asked.Self} needs one thing to start from",
                $"Give {asked.Call(Ratio)}, {asked.Call(Percent)}, {asked.Call(Cents)}, {asked.Call(Heard)}, {asked.Call(From)} with {asked.Call(To)}, or "
                    + $"{asked.Call(Length)} with {asked.Call(Over)}."
            ),
            [var way] => SpeedAnswer.From(
                way.Ratio,
                measured?.CmPerSecond ?? to,
                asked.Number(Tempo),
                (lengthError ?? overError) is null ? null : measured,
                way.Formula
            ),
            _ => throw Fault.Usage($"{asked.Self} starts from one thing at a time", "Ask once for each."),
        };
    }

    private static Calculated Say(SpeedAnswer answer)
    {
        var lead = new List<string>();
        var facts = new List<(string, string)>();
        if (answer.SpeedCmPerSecond is { } speed)
            lead.Add(
                answer.UncertaintyPercent is { } off
                    ? $"The tape runs at {Figures.Speed(speed)}, give or take {Figures.Plain(off, 3)} % ({Figures.Plain(answer.UncertaintyCents!.Value, 2)} cents)."
                    : $"The tape runs at {Figures.Speed(speed)}."
            );
        if (answer.SpeedRatio is { } ratio)
        {
            lead.Add(
                answer.SpeedErrorPercent switch
                {
                    { } e when Math.Abs(e) < answer.UncertaintyPercent =>
                        "That is no nearer than it was measured: it may as well run as meant.",
                    > 0 => "It runs fast: everything is sharp and early.",
                    < 0 => "It runs slow: everything is flat and late.",
                    _ => "It runs as meant.",
                }
            );
            facts.Add(("ratio", Figures.Plain(ratio, 6)));
            facts.Add(("speed error", Figures.Signed(answer.SpeedErrorPercent!.Value, 4) + " %"));
            facts.Add(("pitch", Figures.Signed(answer.PitchCents!.Value, 3) + " cents"));
            facts.Add(("a minute lasts", Figures.Plain(answer.MinuteLastsSeconds!.Value, 4) + " s"));
            if (answer.TempoBpm is { } bpm)
                facts.Add(($"{Figures.Plain(bpm)} BPM becomes", Figures.Plain(answer.TempoBecomesBpm!.Value, 3) + " BPM"));
        }
        else
            lead.Add("The speed that was meant is not known: with it, pitch and tempo follow.");
        var uncertainty = answer.UncertaintyPercent is null ? "" : "; off by √((length error ÷ length)² + (time error ÷ time)²)";
        return new Calculated(
            answer,
            $"{answer.Formula}{uncertainty}; cents = 1200 · log2(ratio); tempo and pitch go with the ratio, time against it"
        )
        {
            Lead = lead,
            Facts = facts,
        };
    }
}
