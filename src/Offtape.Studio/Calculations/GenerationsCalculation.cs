using Offtape.Base;
using Offtape.Report;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>What piles up when a print is printed again.</summary>
internal static class GenerationsCalculation
{
    private const string Formula = "noise + 10 · log10(n); wobble · √n; loss · n";
    private const int UsualCount = 5;
    private const int MostCount = 100;

    private static readonly AskedField Number = AskedField.Whole(
        "count",
        "How many generations",
        $"how many generations; {UsualCount} unless told",
        1,
        MostCount
    ) with
    {
        Hint = $"{UsualCount} unless told",
    };
    private static readonly AskedField Noise = AskedField.Number(
        "noise",
        "Noise of the first one",
        "DB",
        "dB",
        "noise of the first one, by any measure in dB",
        -300,
        100
    );
    private static readonly AskedField Wobble = AskedField.Number(
        "wobble",
        "Wow and flutter of the first one",
        "PERCENT",
        "%",
        "wow and flutter of the first one",
        0,
        100
    );
    private static readonly AskedField Loss = AskedField.Number(
        "loss",
        "What one takes off, as at 10 kHz",
        "DB",
        "dB",
        "what one takes off at a frequency of interest, as at 10 kHz",
        -100,
        100
    );

    public static Calculation Create() =>
        new(
            "generations",
            "Says how noise, wobble and losses pile up from print to print.",
            "--count 4 --noise -52 --wobble 0.12 --loss 1.5",
            [Number, Noise, Wobble, Loss],
            asked => Say(Answer(asked.Whole(Number) ?? UsualCount, asked.Number(Noise), asked.Number(Wobble), asked.Number(Loss)))
        )
        {
            Title = "Generations",
            Needs = "Nothing has to be known; what is known of the first one is carried on.",
        };

    private static GenerationsAnswer Answer(int count, double? noiseDb, double? wobblePercent, double? lossDb) =>
        new(
            [
                .. Enumerable
                    .Range(1, count)
                    .Select(n => new GenerationRow(
                        n,
                        Generations.NoiseDb(n),
                        noiseDb + Generations.NoiseDb(n),
                        Generations.WobbleRatio(n),
                        wobblePercent * Generations.WobbleRatio(n),
                        lossDb is { } loss ? Generations.LossDb(n, loss) : null
                    )),
            ],
            Formula
        );

    private static Calculated Say(GenerationsAnswer answer)
    {
        var first = answer.Rows[0];
        var table = ReportTable
            .Create("")
            .Figures("generation")
            .Figures(first.NoiseDb is null ? "noise adds dB" : "noise dB")
            .Figures(first.WobblePercent is null ? "wobble times" : "wobble %");
        if (first.LossDb is not null)
            table = table.Figures("loss dB");
        foreach (var r in answer.Rows)
            table = table.Row([
                $"{r.Generation}",
                r.NoiseDb is { } noise ? Figures.Plain(noise, 2) : Figures.Signed(r.NoiseAddsDb, 2),
                Figures.Plain(r.WobblePercent ?? r.WobbleTimes, 3),
                .. r.LossDb is { } loss ? (TableCell[])[Figures.Plain(loss, 2)] : [],
            ]);
        return new Calculated(answer, Formula)
        {
            Table = table,
            Caution =
                "This is arithmetic of equal generations that know nothing of each other, not a measurement: level, tape and machine differ from print to print, "
                + "and noise under a sound is another than noise beside it.",
        };
    }
}
