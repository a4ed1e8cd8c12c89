using System.CommandLine;
using Offtape.Base;
using Offtape.Bench;
using Offtape.Cli.Shell;

namespace Offtape.Cli.Verbs.Bench;

/// <summary>Options that several verbs of the bench have.</summary>
internal static class BenchOptions
{
    public static Option<int?> Rate() =>
        Quantities.Whole(
            "--rate",
            "HZ",
            $"sample rate; {BenchSheetRequest.DefaultSampleRateHz} unless told",
            BenchSheetRequest.LowestSampleRateHz,
            SampleRate.HighestHz
        );

    public static Option<double?> Level() =>
        Quantities.Number(
            "--level",
            "DBFS",
            $"peak of the sine that stands for the machine's operating level; {Figures.Plain(BenchSheetRequest.DefaultLevelDbfs)} unless told",
            BenchSheetRequest.LowestLevelDbfs - 1e-9,
            0.000_001
        );

    public static Option<int?> Channels() =>
        Quantities.Whole(
            "--channels",
            "N",
            $"how many channels; {BenchSheetRequest.DefaultChannelCount} unless told",
            1,
            BenchSheetRequest.MostChannels
        );

    public static Option<string?> Turning() =>
        Quantities.Text(
            "--turning",
            "PART=SIZE[,...]",
            $"turning parts whose diameter or turns are known, as idler=12mm,belt=4.2Hz ({string.Join(", ", KnownPartWords.All)}); usual sizes for the others"
        );

    public static void Say(IReadOnlyList<BenchStep> steps, Sheet sheet)
    {
        foreach (var step in steps)
        {
            sheet.Paragraph(step.Text, $"  {step.Number, 2}. ");
            if (step.Caution is { } caution)
                sheet.Paragraph(caution, "      ", sheet.Ink.Warn);
        }
    }
}
