using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Log;

/// <summary>Lists passes.</summary>
internal static class LogListVerb
{
    public static Verb Create()
    {
        var filter = new FilterOptions();
        var studio = StudioInUse.Option();
        var command = new Command("list", "Lists what was printed, newest first, by machine, tape, speed, sound, day.");
        foreach (var option in filter.All)
            command.Options.Add(option);
        command.Options.Add(studio);
        return new Verb(
            command,
            "offtape log list --machine deck --speed 9.5",
            (parsed, desk, _) =>
            {
                var wanted = filter.Read(parsed);
                using var store = StudioInUse.Open(parsed, studio);
                // One more than wanted says whether there are more.
                var passes = new LogSearch(store).Passes(wanted with { Limit = wanted.Limit + 1 });
                var answer = new LogListAnswer(passes.Count <= wanted.Limit, [.. passes.Take(wanted.Limit)]);
                desk.Result(answer, CliJsonContext.Default.LogListAnswer, sheet => Say(answer, sheet));
                return passes.Count > 0 ? ExitCode.Done : ExitCode.Incomplete;
            }
        );
    }

    private static void Say(LogListAnswer answer, Sheet sheet)
    {
        if (answer.Passes.Count == 0)
        {
            sheet.Line("No pass of the log is like that.");
            return;
        }
        LogWords.Table(answer.Passes, sheet);
        if (!answer.IsAll)
            sheet.Line().Line("There are more; see them with --limit.");
    }
}

/// <summary>The answer of <c>log list</c>: the newest passes, and whether these are all there are.</summary>
internal sealed record LogListAnswer(bool IsAll, IReadOnlyList<LoggedPass> Passes);
