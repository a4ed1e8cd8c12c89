using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Tapes;

/// <summary>Notes what a machine's counter shows after a known time of a side: from two such marks the counter is known over the whole tape.</summary>
internal static class TapeMarkVerb
{
    public static Verb Create()
    {
        var name = new Argument<string>("NAME") { Description = "the tape" };
        var machine = Quantities.Text("--machine", "NAME", "the machine whose counter it is");
        var side = Quantities.Text("--side", "A|B", "its side; A unless told");
        var counter = Quantities.Number("--counter", "N", "what the counter shows, from 0 at the beginning of the side", 0, 1e6);
        var after = Quantities.Number("--after", "S", "after so many seconds of tape", 0, 1e5);
        var speed = TapeOptions.Speed();
        var studio = StudioInUse.Option();
        var command = new Command("mark", "Notes what a counter shows after a known time; two marks tell it everywhere.")
        {
            name,
            machine,
            side,
            counter,
            after,
            speed,
            studio,
        };
        return new Verb(
            command,
            "offtape tape mark LQ-1 --machine deck --counter 187 --after 600 --studio .",
            (parsed, desk, _) =>
            {
                if (
                    parsed.GetValue(machine) is not { } own
                    || parsed.GetValue(counter) is not { } shown
                    || parsed.GetValue(after) is not { } seconds
                )
                    throw Fault.Usage(
                        "tape mark needs --machine, --counter and --after",
                        "They say whose counter shows what after how long."
                    );
                using var store = StudioInUse.Open(parsed, studio);
                var shelf = new TapeShelf(store);
                var tape = shelf.Find(parsed.GetValue(name)!);
                var metres = seconds * TapeOptions.SpeedFor(parsed.GetValue(speed), tape).MetresPerSecond;
                var on = parsed.GetValue(side) ?? "A";
                shelf.Mark(own, tape.Name, on, new CounterMark(shown, metres));
                var answer = new MarkAnswer(own, tape.Name, on, shown, metres);
                desk.Result(
                    answer,
                    CliJsonContext.Default.MarkAnswer,
                    sheet =>
                        sheet.Line($"{own} shows {Figures.Plain(shown, 1)} after {Figures.Plain(metres, 2)} m of {tape.Name}, side {on}.")
                );
                return ExitCode.Done;
            }
        );
    }
}
