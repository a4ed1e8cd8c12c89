using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;

namespace Offtape.Cli.Verbs.Demo;

/// <summary>The whole job on a piece that the program plays itself, through two simulated machines: no tape, no cables.</summary>
internal static class DemoVerb
{
    public const string DefaultFolder = "lantern-quay";

    public static Verb Create()
    {
        var to = Quantities.Text("--to", "DIR", $"folder for all of it; ./{DefaultFolder} unless told");
        var command = new Command("demo", "Prints a short piece through two simulated machines and brings it back.") { to };
        return new Verb(
            command,
            "offtape demo --to lantern-quay",
            (parsed, desk, cancellation) => Run(parsed.GetValue(to) ?? DefaultFolder, desk, cancellation)
        );
    }

    private static ExitCode Run(string target, Desk desk, CancellationToken cancellation)
    {
        using var folder = DemoFolder.Begin(target, desk.Force);
        var show = new DemoRun(folder, desk.Progress.Begin(), cancellation);
        var answer = show.Play();
        folder.Complete();
        desk.Result(answer, CliJsonContext.Default.DemoAnswer, sheet => Say(answer, sheet));
        return show.ExitCode;
    }

    private static void Say(DemoAnswer answer, Sheet sheet)
    {
        sheet.Paragraph("\"Lantern Quay\", four sounds, printed through two simulated machines. In its folder, this was done:").Line();
        foreach (var command in answer.Commands)
            sheet.Line("  " + command);
        foreach (var machine in answer.Machines)
        {
            sheet.Line().Line(sheet.Ink.Strong($"{machine.Name}, {machine.How}"));
            foreach (var take in machine.Takes)
                sheet.Paragraph(take.Sentence, "  ");
        }
        sheet
            .Line()
            .Paragraph($"The takes, what they came from and a page of plots are in {answer.Folder}. Open {answer.Page} in a browser.");
    }
}
