using System.CommandLine;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Studio;

/// <summary>Writes files to begin with.</summary>
internal static class KitTemplateVerb
{
    public static Verb Create()
    {
        var to = Quantities.Text("--to", "DIR", "folder that receives offers.csv, request.json and rig.json");
        var command = new Command("template", "Writes files to begin with: offers, a request and a rig, all invented.") { to };
        return new Verb(command, "offtape kit template --to kit", (parsed, desk, _) => Run(parsed.GetValue(to), desk));
    }

    private static ExitCode Run(string? folder, Desk desk)
    {
        if (folder is null)
            throw Fault.Usage("kit template needs --to DIR", "It names the folder that receives the files.");
        StudioSheets.MakeFolder(folder);
        var files = new List<string>();
        foreach (
            var (name, text) in new[]
            {
                ("offers.csv", KitTemplates.Offers),
                ("request.json", KitTemplates.Request),
                ("rig.json", KitTemplates.Rig),
            }
        )
        {
            files.Add(Path.Combine(folder, name));
            SafeFile.WriteText(files[^1], text, desk.Force);
        }
        desk.Result(
            new KitFilesAnswer(files),
            CliJsonContext.Default.KitFilesAnswer,
            sheet => sheet.Paragraph($"Wrote {Words.List(files)}. Put your own in, then: offtape kit find {files[1]} --offers {files[0]}")
        );
        return ExitCode.Done;
    }
}
