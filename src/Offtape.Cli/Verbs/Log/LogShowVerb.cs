using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Log;

/// <summary>Recalls one pass.</summary>
internal static class LogShowVerb
{
    public static Verb Create()
    {
        var pass = PassArgument();
        var studio = StudioInUse.Option();
        var command = new Command("show", "Recalls one pass: machine, tape, and how everything was set.") { pass, studio };
        return new Verb(
            command,
            "offtape log show 3f5k-9mzq",
            (parsed, desk, _) =>
            {
                using var store = StudioInUse.Open(parsed, studio);
                var found = Find(store, parsed.GetValue(pass)!);
                desk.Result(found, CliJsonContext.Default.LoggedPass, sheet => LogWords.Full(found, sheet));
                return ExitCode.Done;
            }
        );
    }

    public static Argument<string> PassArgument() => new("PASS") { Description = "the pass, as its sheet names it" };

    /// <exception cref="Fault">Incomplete: the log has no such pass.</exception>
    public static LoggedPass Find(StudioStore store, string passId) =>
        new LogSearch(store).Pass(passId) ?? throw Fault.Incomplete($"The log has no pass \"{passId}\"", "log list shows what it has.");
}
