using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>A pitch control: per cent, cents and tempo into each other, and whether the control goes as far.</summary>
internal static class PitchCalculation
{
    private const string Formula =
        "ratio = 1 + percent ÷ 100 = 2^(cents ÷ 1200) = tempo wanted ÷ tempo; what undoes it: 1 ÷ ratio; a semitone is 100 cents";

    private const double CentsPerSemitone = 100;

    private static readonly AskedField Percent = AskedField.Number(
        "percent",
        "The control stands at",
        "PERCENT",
        "%",
        "where the control stands, fast above zero",
        -90,
        1000
    );
    private static readonly AskedField Cents = AskedField.Number(
        "cents",
        "The pitch is to move by",
        "CENTS",
        "cents",
        "how far the pitch is to move",
        -4000,
        4200
    );
    private static readonly AskedField Semitones = AskedField.Number(
        "semitones",
        "The same in semitones",
        "SEMITONES",
        "",
        "the same in semitones",
        -40,
        42
    );
    private static readonly AskedField Tempo = AskedField.Number("bpm", "Tempo as it is", "BPM", "BPM", "the tempo as it is", 0, 10_000);
    private static readonly AskedField Wanted = AskedField.Number(
        "to-bpm",
        "Tempo that is wanted",
        "BPM",
        "BPM",
        "the tempo that is wanted; needs --bpm",
        0,
        10_000
    );
    private static readonly AskedField Range = AskedField.Number(
        "range",
        "The control goes each way by",
        "PERCENT",
        "%",
        "how far the control goes each way",
        0,
        90
    );

    public static Calculation Create() =>
        new(
            "pitch",
            "Turns a pitch control's per cent, cents and tempo into each other.",
            "--bpm 84 --to-bpm 90 --range 10",
            [Percent, Cents, Semitones, Tempo, Wanted, Range],
            asked => Say(Answer(asked))
        )
        {
            Title = "Pitch control",
            Needs = "One thing to start from: where the control stands, cents, semitones, or two tempos.",
        };

    private static PitchAnswer Answer(Asked asked)
    {
        var (tempoBpm, wantedBpm, rangePercent) = (asked.Number(Tempo), asked.Number(Wanted), asked.Number(Range));
        if (wantedBpm is not null && tempoBpm is null)
            throw Fault.Usage($"{asked.Call(Wanted)} needs {asked.Call(Tempo)}", "Say which tempo the sound has.");
        double?[] ways =
        [
            asked.Number(Percent) is { } p ? Conversions.PercentToRatio(p) : null,
            asked.Number(Cents) is { } c ? Conversions.CentsToRatio(c) : null,
            asked.Number(Semitones) is { } s ? Conversions.CentsToRatio(s * CentsPerSemitone) : null,
            wantedBpm / tempoBpm,
        ];
        var given = ways.OfType<double>().ToArray();
        if (given.Length != 1)
            throw Fault.Usage(
                given.Length == 0 ? $"{asked.Self} needs one thing to start from" : $"{asked.Self} starts from one thing at a time",
                $"Give {asked.Call(Percent)}, {asked.Call(Cents)}, {asked.Call(Semitones)}, or {asked.Call(Tempo)} with {asked.Call(Wanted)}."
            );
        var ratio = given[0];
        var control = rangePercent is { } range ? new PitchControl(range) : null;
        var nearest = control?.Nearest(ratio);
        var atPercent = Conversions.RatioToPercent(ratio);
        return new PitchAnswer(
            atPercent,
            Conversions.RatioToCents(ratio),
            Conversions.RatioToCents(ratio) / CentsPerSemitone,
            tempoBpm,
            tempoBpm * ratio,
            PitchControl.UndoingPercent(atPercent),
            rangePercent,
            control?.Reaches(ratio),
            nearest is { } n ? Conversions.RatioToPercent(n) : null,
            nearest is { } m ? Conversions.RatioToCents(m) : null,
            tempoBpm * nearest,
            control is null ? null : Conversions.RatioToCents(control.SlowestRatio),
            control is null ? null : Conversions.RatioToCents(control.FastestRatio),
            Formula
        );
    }

    private static Calculated Say(PitchAnswer answer)
    {
        List<(string, string)> facts =
        [
            ("pitch control", Figures.Signed(answer.PitchPercent, 3) + " %"),
            ("pitch", Figures.Signed(answer.PitchCents, 2) + " cents"),
            ("in semitones", Figures.Signed(answer.PitchSemitones, 4) + " semitones"),
        ];
        if (answer.TempoBpm is { } tempo)
            facts.Add(($"{Figures.Plain(tempo)} BPM becomes", Figures.Plain(answer.TempoBecomesBpm!.Value, 3) + " BPM"));
        facts.Add(("undone by", Figures.Signed(answer.UndoingPercent, 3) + " %"));
        return new Calculated(answer, Formula)
        {
            Facts = facts,
            Verdict = Verdict(answer),
            IsWithin = answer.IsWithinRange is not false,
        };
    }

    private static string Verdict(PitchAnswer answer)
    {
        if (answer.RangePercent is not { } range)
            return "";
        var ends = $"{Figures.Signed(answer.SlowestCents!.Value, 1)} to {Figures.Signed(answer.FastestCents!.Value, 1)} cents";
        if (answer.IsWithinRange is true)
            return $"A control of ±{Figures.Plain(range)} % ({ends}) reaches it.";
        var bpm = answer.NearestTempoBpm is { } near ? $", {Figures.Plain(near, 2)} BPM" : "";
        return $"A control of ±{Figures.Plain(range)} % ({ends}) does not reach it. The nearest is {Figures.Signed(answer.NearestPercent!.Value, 3)} %"
            + $" ({Figures.Signed(answer.NearestCents!.Value, 1)} cents{bpm}). Print the rest with a printing ratio: send --print-ratio.";
    }
}
