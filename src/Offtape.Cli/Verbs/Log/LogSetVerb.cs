using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Passes;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Log;

/// <summary>Notes afterwards what was not said when a pass was sent.</summary>
internal static class LogSetVerb
{
    public static Verb Create()
    {
        var pass = LogShowVerb.PassArgument();
        var run = new RunOptions();
        var speed = Quantities.Speed("--speed", "tape speed, in cm/s or as 7.5ips");
        var empty = Quantities.Texts(
            "--empty",
            "FACT...",
            $"what is to be noted no more: {string.Join(", ", PassFact.All.Select(f => f.Name))}"
        );
        var studio = StudioInUse.Option();
        var command = new Command("set", "Notes afterwards where and how a pass was run, or empties what is noted.") { pass };
        foreach (var option in run.All)
            command.Options.Add(option);
        command.Options.Add(speed);
        command.Options.Add(empty);
        command.Options.Add(studio);
        return new Verb(
            command,
            "offtape log set 3f5k-9mzq --machine deck --tape LQ-1 --start-counter 12",
            (parsed, desk, _) =>
            {
                var said = run.Read(parsed);
                PassFact[] emptied = [.. (parsed.GetValue(empty) ?? []).Select(Fact).Distinct()];
                if (said is null && parsed.GetValue(speed) is null && emptied.Length == 0)
                    throw Fault.Usage("log set needs something to note", "See offtape log set --help.");
                using var store = StudioInUse.Open(parsed, studio);
                var passId = parsed.GetValue(pass)!;
                var notices = new PassSettings(store).Set(passId, said ?? new SheetRun(), parsed.GetValue(speed), emptied, DateTime.UtcNow);
                foreach (var notice in notices)
                    desk.Tell(notice);
                var found = LogShowVerb.Find(store, passId);
                desk.Result(found, CliJsonContext.Default.LoggedPass, sheet => LogWords.Full(found, sheet));
                return ExitCode.Done;
            }
        );
    }

    private static PassFact Fact(string name) =>
        PassFact.All.FirstOrDefault(f => f.Name == name)
        ?? throw Fault.Usage($"--empty is one of {string.Join(", ", PassFact.All.Select(f => f.Name))}, not \"{name}\"");
}
