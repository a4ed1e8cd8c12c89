using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Passes;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Log;

/// <summary>Runs the return of a pass again.</summary>
internal static class LogRerunVerb
{
    public static Verb Create()
    {
        var pass = LogShowVerb.PassArgument();
        var to = Quantities.Text("--to", "DIR", "folder that receives the takes and return.json");
        var retime = Quantities.Text("--retime", "steady|shift|fit|lock[,...]", "other retimings than then");
        var studio = StudioInUse.Option();
        var command = new Command("rerun", "Runs the last return of a pass again, from the stored capture.") { pass, to, retime, studio };
        return new Verb(
            command,
            "offtape log rerun 3f5k-9mzq --to again",
            (parsed, desk, cancellation) =>
            {
                var folder =
                    parsed.GetValue(to) ?? throw Fault.Usage("log rerun needs --to DIR", "It names the folder that receives the takes.");
                var others = parsed.GetValue(retime) is { } text ? ReturnVerb.Retimings(text) : null;
                using var store = StudioInUse.Open(parsed, studio);
                var rerun = new LogRerun(store);
                var (request, returnId) = rerun.Prepare(parsed.GetValue(pass)!, folder, desk.Force, cancellation);
                if (others is not null)
                    request = request with { Retimings = others };
                var result = ReturnJob.Run(request, desk.Progress.Begin(), cancellation);
                foreach (var warning in result.Sheet.Warnings)
                    desk.Tell(new Notice(warning.Code, warning.Text));
                var compared = rerun.Compare(returnId, result.Sheet, folder, cancellation);
                StudioInUse.Note(store.Folder, desk, log => log.Return(result.SheetPath, request.Passes, Environment.CurrentDirectory));
                desk.Result(
                    new RerunAnswer(result.SheetPath, compared.Same, compared.Different),
                    CliJsonContext.Default.RerunAnswer,
                    sheet =>
                    {
                        ReturnWords.Say(result, request, sheet);
                        sheet.Line().Paragraph(Sentence(compared));
                    }
                );
                return result.ExitCode;
            }
        );
    }

    private static string Sentence(RerunComparison compared) =>
        compared.Different.Count == 0
            ? $"All {Words.Count(compared.Same.Count, "take")} are what they were, byte for byte."
            : $"{Words.Count(compared.Same.Count, "take")} byte for byte as before, {Words.Count(compared.Different.Count, "take")} not (asked for now, "
                + "or made by another version of the program).";
}

/// <summary>The answer of <c>log rerun</c>: where the sheet is, and which takes are those of the first return byte for byte.</summary>
internal sealed record RerunAnswer(string SheetFile, IReadOnlyList<string> Same, IReadOnlyList<string> Different);
