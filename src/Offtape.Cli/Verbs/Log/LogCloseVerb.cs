using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Log;

/// <summary>Writes finished passes as a folder that needs no program of ours.</summary>
internal static class LogCloseVerb
{
    public static Verb Create()
    {
        var passes = new Argument<string[]>("PASS")
        {
            Description = "the passes of the job, as their sheets name them",
            Arity = ArgumentArity.OneOrMore,
        };
        var to = Quantities.Text(
            "--to",
            "DIR",
            $"the folder to be made: audio, {JobCloser.PageName}, {JobCloser.TextName}, {JobCloser.JsonName}, {JobCloser.HashesName}"
        );
        var name = Quantities.Text("--name", "TEXT", "name of the job; that of the folder unless told");
        var studio = StudioInUse.Option();
        var command = new Command("close", "Writes a finished job as a folder that is readable without Offtape.")
        {
            passes,
            to,
            name,
            studio,
        };
        return new Verb(
            command,
            "offtape log close 3f5k-9mzq --to lantern-quay",
            (parsed, desk, cancellation) =>
            {
                var folder = parsed.GetValue(to) ?? throw Fault.Usage("log close needs --to DIR", "It names the folder to be made.");
                using var store = StudioInUse.Open(parsed, studio);
                LoggedPass[] found = [.. parsed.GetValue(passes)!.Distinct().Select(p => LogShowVerb.Find(store, p))];
                var job = new JobCloser(store).Close(
                    found,
                    folder,
                    parsed.GetValue(name) ?? Path.GetFileName(Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder))),
                    $"Made by offtape {CommandLine.Version} log close.",
                    desk.Progress.Begin(),
                    cancellation
                );
                foreach (var lacking in job.Lacking)
                    desk.Tell(new Notice("lacking", lacking + "."));
                desk.Result(
                    job,
                    CliJsonContext.Default.ClosedJob,
                    sheet =>
                        sheet.Paragraph(
                            $"Wrote {Words.Count(job.Files.Count, "file")} of {Words.Count(job.Passes.Count, "pass", "passes")} into {folder}. {JobCloser.PageName} tells what is what."
                        )
                );
                return job.Lacking.Count == 0 ? ExitCode.Done : ExitCode.Incomplete;
            }
        );
    }
}
