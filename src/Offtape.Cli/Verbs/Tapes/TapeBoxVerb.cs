using System.CommandLine;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Cli.Verbs.Studio;
using Offtape.Report;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Tapes;

/// <summary>Prints the card of a tape's box.</summary>
internal static class TapeBoxVerb
{
    public static Verb Create()
    {
        var name = new Argument<string>("NAME") { Description = "the tape" };
        var to = Quantities.Text("--to", "DIR", "folder that receives box.svg and box.pdf");
        var speed = TapeOptions.Speed();
        var machine = TapeOptions.Machine();
        var studio = StudioInUse.Option();
        var command = new Command("box", "Prints the card of a tape's box, in its true size.") { name, to, speed, machine, studio };
        return new Verb(
            command,
            "offtape tape box LQ-1 --to box --studio .",
            (parsed, desk, _) =>
            {
                var folder =
                    parsed.GetValue(to) ?? throw Fault.Usage("tape box needs --to DIR", "It names the folder that receives the card.");
                using var store = StudioInUse.Open(parsed, studio);
                var shelf = new TapeShelf(store);
                var tape = shelf.Find(parsed.GetValue(name)!);
                var counter = parsed.GetValue(machine) is { } own ? shelf.Counter(own, tape) : null;
                var card = BoxSheet.Of(tape, TapeOptions.SpeedFor(parsed.GetValue(speed), tape), counter);
                StudioSheets.MakeFolder(folder);
                string[] files = [Path.Combine(folder, "box.svg"), Path.Combine(folder, "box.pdf")];
                SafeFile.WriteText(files[0], card.ToSvg(), desk.Force);
                var fonts = ReportFonts.Find();
                foreach (var notice in fonts.Notices)
                    desk.Tell(notice);
                SafeFile.WriteBytes(files[1], card.ToPdf(fonts), desk.Force);
                desk.Result(
                    new BoxAnswer(files),
                    CliJsonContext.Default.BoxAnswer,
                    sheet => sheet.Paragraph($"Wrote {Words.List(files)}. Print it at 100 %: the line of 50 mm says whether it was scaled.")
                );
                return ExitCode.Done;
            }
        );
    }
}
