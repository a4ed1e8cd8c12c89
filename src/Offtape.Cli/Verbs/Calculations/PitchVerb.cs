using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Calculations;

/// <summary>The answer of <c>calc pitch</c>.</summary>
internal sealed record PitchAnswer(
    double PitchPercent,
    double PitchCents,
    double PitchSemitones,
    double? TempoBpm,
    double? TempoBecomesBpm,
    double UndoingPercent,
    double? RangePercent,
    bool? IsWithinRange,
    double? NearestPercent,
    double? NearestCents,
    double? NearestTempoBpm,
    double? SlowestCents,
    double? FastestCents,
    string Formula
);

/// <summary>A pitch control: per cent, cents and tempo into each other, and whether the control goes as far.</summary>
internal static class PitchVerb
{
    private const string Formula =
        "ratio = 1 + percent ÷ 100 = 2^(cents ÷ 1200) = tempo wanted ÷ tempo; what undoes it: 1 ÷ ratio; a semitone is 100 cents";

    private const double CentsPerSemitone = 100;

    public static Verb Create()
    {
        var percent = Quantities.Number("--percent", "PERCENT", "where the control stands, fast above zero", -90, 1000);
        var cents = Quantities.Number("--cents", "CENTS", "how far the pitch is to move", -4000, 4200);
        var semitones = Quantities.Number("--semitones", "SEMITONES", "the same in semitones", -40, 42);
        var tempo = Quantities.Number("--bpm", "BPM", "the tempo as it is", 0, 10_000);
        var wanted = Quantities.Number("--to-bpm", "BPM", "the tempo that is wanted; needs --bpm", 0, 10_000);
        var range = Quantities.Number("--range", "PERCENT", "how far the control goes each way", 0, 90);
        var command = new Command("pitch", "Turns a pitch control's per cent, cents and tempo into each other.")
        {
            percent,
            cents,
            semitones,
            tempo,
            wanted,
            range,
        };
        return Verb.Answering(
            command,
            "offtape calc pitch --bpm 84 --to-bpm 90 --range 10",
            parsed =>
                Answer(
                    parsed.GetValue(percent),
                    parsed.GetValue(cents),
                    parsed.GetValue(semitones),
                    parsed.GetValue(tempo),
                    parsed.GetValue(wanted),
                    parsed.GetValue(range)
                ),
            CliJsonContext.Default.PitchAnswer,
            Say,
            answer => answer.IsWithinRange is false ? ExitCode.Incomplete : ExitCode.Done
        );
    }

    internal static PitchAnswer Answer(
        double? percent,
        double? cents,
        double? semitones,
        double? tempoBpm,
        double? wantedBpm,
        double? rangePercent
    )
    {
        if (wantedBpm is not null && tempoBpm is null)
            throw Fault.Usage("--to-bpm needs --bpm", "Say which tempo the sound has.");
        double?[] ways =
        [
            percent is { } p ? Conversions.PercentToRatio(p) : null,
            cents is { } c ? Conversions.CentsToRatio(c) : null,
            semitones is { } s ? Conversions.CentsToRatio(s * CentsPerSemitone) : null,
            wantedBpm / tempoBpm,
        ];
        var given = ways.OfType<double>().ToArray();
        if (given.Length != 1)
            throw Fault.Usage(
                given.Length == 0 ? "calc pitch needs one thing to start from" : "calc pitch starts from one thing at a time",
                "Give --percent, --cents, --semitones, or --bpm with --to-bpm."
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

    private static void Say(PitchAnswer answer, Sheet sheet)
    {
        List<IReadOnlyList<string>> rows =
        [
            (string[])["pitch control", Figures.Signed(answer.PitchPercent, 3) + " %"],
            (string[])["pitch", Figures.Signed(answer.PitchCents, 2) + " cents"],
            (string[])["", Figures.Signed(answer.PitchSemitones, 4) + " semitones"],
        ];
        if (answer.TempoBpm is { } tempo)
            rows.Add((string[])[$"{Figures.Plain(tempo)} BPM becomes", Figures.Plain(answer.TempoBecomesBpm!.Value, 3) + " BPM"]);
        rows.Add((string[])["undone by", Figures.Signed(answer.UndoingPercent, 3) + " %"]);
        sheet.Table(["", ">"], rows);
        if (answer.RangePercent is { } range)
        {
            sheet.Line();
            var ends = $"{Figures.Signed(answer.SlowestCents!.Value, 1)} to {Figures.Signed(answer.FastestCents!.Value, 1)} cents";
            if (answer.IsWithinRange is true)
                sheet.Paragraph($"A control of ±{Figures.Plain(range)} % ({ends}) reaches it.");
            else
            {
                var bpm = answer.NearestTempoBpm is { } near ? $", {Figures.Plain(near, 2)} BPM" : "";
                sheet.Paragraph(
                    $"A control of ±{Figures.Plain(range)} % ({ends}) does not reach it. The nearest is {Figures.Signed(answer.NearestPercent!.Value, 3)} %"
                        + $" ({Figures.Signed(answer.NearestCents!.Value, 1)} cents{bpm}). Print the rest with send --print-ratio.",
                    "",
                    sheet.Ink.Warn
                );
            }
        }
        sheet.Line().Paragraph(Formula + ".");
    }
}
