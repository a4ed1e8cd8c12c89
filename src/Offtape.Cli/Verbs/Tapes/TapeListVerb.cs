using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Tapes;

/// <summary>Lists the tapes of the studio.</summary>
internal static class TapeListVerb
{
    public static Verb Create()
    {
        var speed = TapeOptions.Speed();
        var studio = StudioInUse.Option();
        var command = new Command("list", "Lists the tapes there are, and how much of each is free.") { speed, studio };
        return new Verb(
            command,
            "offtape tape list --studio .",
            (parsed, desk, _) =>
            {
                using var store = StudioInUse.Open(parsed, studio);
                IReadOnlyList<TapeAnswer> tapes =
                [
                    .. new TapeShelf(store)
                        .All()
                        .Select(t => TapeAnswer.From(t, TapeOptions.SpeedFor(parsed.GetValue(speed), t), new SideMargins())),
                ];
                desk.Result(tapes, CliJsonContext.Default.IReadOnlyListTapeAnswer, sheet => Say(tapes, sheet));
                return ExitCode.Done;
            }
        );
    }

    private static void Say(IReadOnlyList<TapeAnswer> tapes, Sheet sheet)
    {
        if (tapes.Count == 0)
        {
            sheet.Paragraph("There is no tape yet. Put one on the shelf: offtape tape add LQ-1 --length C60 --format cassette-stereo");
            return;
        }
        sheet.Table(
            ["tape", "format", "type", ">cm/s", ">plays a side", ">free"],
            tapes.Select(t =>
                (string[])
                    [
                        t.Name,
                        t.Format ?? t.Medium ?? "not known",
                        t.Type ?? "",
                        Figures.Plain(t.SpeedCmPerSecond, 4),
                        t.Sides.Select(s => s.PlayingSeconds).FirstOrDefault() is { } plays ? Words.Duration(plays) : "not known",
                        t.Sides.All(s => s.FreeSeconds is null) ? "not known" : Words.Duration(t.Sides.Sum(s => s.FreeSeconds ?? 0)),
                    ]
            )
        );
    }
}
