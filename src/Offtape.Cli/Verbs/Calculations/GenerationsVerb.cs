using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Calculations;

/// <summary>One generation of <c>calc generations</c>.</summary>
internal sealed record GenerationRow(
    int Generation,
    double NoiseAddsDb,
    double? NoiseDb,
    double WobbleTimes,
    double? WobblePercent,
    double? LossDb
);

/// <summary>The answer of <c>calc generations</c>.</summary>
internal sealed record GenerationsAnswer(IReadOnlyList<GenerationRow> Rows, string Formula);

/// <summary>What piles up when a print is printed again.</summary>
internal static class GenerationsVerb
{
    private const string Formula = "noise + 10 · log10(n); wobble · √n; loss · n";
    private const int UsualCount = 5;
    private const int MostCount = 100;

    public static Verb Create()
    {
        var count = Quantities.Whole("--count", "N", $"how many generations; {UsualCount} unless told", 1, MostCount);
        var noise = Quantities.Number("--noise", "DB", "noise of the first one, by any measure in dB", -300, 100);
        var wobble = Quantities.Number("--wobble", "PERCENT", "wow and flutter of the first one", 0, 100);
        var loss = Quantities.Number("--loss", "DB", "what one takes off at a frequency of interest, as at 10 kHz", -100, 100);
        var command = new Command("generations", "Says how noise, wobble and losses pile up from print to print.")
        {
            count,
            noise,
            wobble,
            loss,
        };
        return Verb.Answering(
            command,
            "offtape calc generations --count 4 --noise -52 --wobble 0.12 --loss 1.5",
            parsed => Answer(parsed.GetValue(count) ?? UsualCount, parsed.GetValue(noise), parsed.GetValue(wobble), parsed.GetValue(loss)),
            CliJsonContext.Default.GenerationsAnswer,
            Say
        );
    }

    internal static GenerationsAnswer Answer(int count, double? noiseDb, double? wobblePercent, double? lossDb) =>
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

    private static void Say(GenerationsAnswer answer, Sheet sheet)
    {
        var first = answer.Rows[0];
        string[] columns =
        [
            ">generation",
            first.NoiseDb is null ? ">noise adds dB" : ">noise dB",
            first.WobblePercent is null ? ">wobble times" : ">wobble %",
            .. first.LossDb is null ? Array.Empty<string>() : [">loss dB"],
        ];
        sheet
            .Table(
                columns,
                answer.Rows.Select(r =>
                    (string[])
                        [
                            $"{r.Generation}",
                            r.NoiseDb is { } noise ? Figures.Plain(noise, 2) : Figures.Signed(r.NoiseAddsDb, 2),
                            Figures.Plain(r.WobblePercent ?? r.WobbleTimes, 3),
                            .. r.LossDb is { } loss ? [Figures.Plain(loss, 2)] : Array.Empty<string>(),
                        ]
                )
            )
            .Line()
            .Paragraph(
                $"{Formula}. This is arithmetic of equal generations that know nothing of each other, not a measurement: level, tape and machine "
                    + "differ from print to print, and noise under a sound is another than noise beside it."
            );
    }
}
