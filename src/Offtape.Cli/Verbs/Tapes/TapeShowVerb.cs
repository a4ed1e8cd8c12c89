using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Tapes;

/// <summary>Shows one tape: what stands where, how often it was used, what is free, what turning it over does.</summary>
internal static class TapeShowVerb
{
    public static Verb Create()
    {
        var name = new Argument<string>("NAME") { Description = "the tape" };
        var speed = TapeOptions.Speed();
        var start = TapeOptions.StartMargin();
        var end = TapeOptions.EndMargin();
        var machine = TapeOptions.Machine();
        var studio = StudioInUse.Option();
        var command = new Command("show", "Shows what stands where on a tape, and what is free.")
        {
            name,
            speed,
            start,
            end,
            machine,
            studio,
        };
        return new Verb(
            command,
            "offtape tape show LQ-1 --machine deck --studio .",
            (parsed, desk, _) =>
            {
                using var store = StudioInUse.Open(parsed, studio);
                var shelf = new TapeShelf(store);
                var tape = shelf.Find(parsed.GetValue(name)!);
                var counter = parsed.GetValue(machine) is { } own ? shelf.Counter(own, tape) : null;
                var answer = TapeAnswer.From(
                    tape,
                    TapeOptions.SpeedFor(parsed.GetValue(speed), tape),
                    TapeOptions.Margins(parsed.GetValue(start), parsed.GetValue(end)),
                    counter
                );
                desk.Result(answer, CliJsonContext.Default.TapeAnswer, sheet => TapeWords.Full(answer, sheet));
                return ExitCode.Done;
            }
        );
    }
}
