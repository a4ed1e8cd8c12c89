using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Log;

/// <summary>Takes a pass out of the log that was never run.</summary>
internal static class LogRemoveVerb
{
    public static Verb Create()
    {
        var passes = new Argument<string[]>("PASS")
        {
            Description = "passes whose sends were made and never run, as their sheets name them",
            Arity = ArgumentArity.OneOrMore,
        };
        var yes = Quantities.Switch("--yes", "do it; without it only says what would be done");
        var files = Quantities.Switch("--with-files", "delete their send.wav and pass.json as well; no source is ever deleted");
        var studio = StudioInUse.Option();
        var command = new Command("remove", "Takes passes out of the log that were never run, and frees their tape.")
        {
            passes,
            yes,
            files,
            studio,
        };
        return new Verb(
            command,
            "offtape log remove 3f5k-9mzq --yes",
            (parsed, desk, cancellation) =>
            {
                var (isDone, withFiles) = (parsed.GetValue(yes), parsed.GetValue(files));
                using var store = StudioInUse.Open(parsed, studio);
                var removal = new LogRemoval(store);
                var wanted = parsed.GetValue(passes)!;
                var (removed, deleted) = isDone
                    ? removal.Remove(wanted, withFiles, DateTime.UtcNow, cancellation)
                    : (removal.Plan(wanted, cancellation), []);
                var answer = new RemoveAnswer(isDone, removed, deleted);
                desk.Result(answer, CliJsonContext.Default.RemoveAnswer, sheet => Say(answer, withFiles, sheet));
                return ExitCode.Done;
            }
        );
    }

    private static void Say(RemoveAnswer answer, bool withFiles, Sheet sheet)
    {
        foreach (var removed in answer.Passes)
        {
            var pass = removed.Pass;
            sheet.Paragraph(
                $"Pass {pass.PassId} of {LogWords.Day(pass.At)}, {Words.Count(pass.Sources.Count, "sound")}, {(answer.IsDone ? "is" : "would be")} out of the log."
            );
            if (LogWords.Tape(pass) is { } tape)
                sheet.Paragraph(RemovalWords.Freed(removed, tape, answer.IsDone), "  ");
            foreach (var file in removed.Files)
                sheet.Paragraph($"{file.Path} {RemovalWords.Fate(file, withFiles, answer.IsDone, answer.DeletedFiles)}.", "  ");
        }
        if (!answer.IsDone)
            sheet.Line().Paragraph("Nothing is done yet. Say --yes to do it.");
    }
}

/// <summary>The answer of <c>log remove</c>: whether it was done, what it is about, and which files were deleted.</summary>
internal sealed record RemoveAnswer(bool IsDone, IReadOnlyList<RemovedPass> Passes, IReadOnlyList<string> DeletedFiles);
