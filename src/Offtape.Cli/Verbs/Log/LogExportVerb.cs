using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Cli.Verbs.Studio;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Log;

/// <summary>Writes the whole database as text.</summary>
internal static class LogExportVerb
{
    public static Verb Create()
    {
        var to = Quantities.Text(
            "--to",
            "DIR",
            $"folder that receives {LogExport.JsonName}, {LogExport.LogName} and {LogExport.TablesFolder}/"
        );
        var format = Quantities.Choice("--format", "one of them alone; both unless told", "json", "csv");
        var studio = StudioInUse.Option();
        var command = new Command("export", "Writes all that the database holds as JSON and CSV.") { to, format, studio };
        return new Verb(
            command,
            "offtape log export --to export",
            (parsed, desk, _) =>
            {
                var folder =
                    parsed.GetValue(to) ?? throw Fault.Usage("log export needs --to DIR", "It names the folder that receives the tables.");
                var only = parsed.GetValue(format);
                using var store = StudioInUse.Open(parsed, studio);
                var files = new LogExport(store).Write(folder, only is not "csv", only is not "json", desk.Force);
                desk.Result(
                    new KitFilesAnswer(files),
                    CliJsonContext.Default.KitFilesAnswer,
                    sheet => sheet.Paragraph($"Wrote {Words.Count(files.Count, "file")} into {folder}.")
                );
                return ExitCode.Done;
            }
        );
    }
}
