using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Tapes;

/// <summary>Notes that a stretch of a side is recorded. Passes of the log note themselves.</summary>
internal static class TapeUseVerb
{
    private const double MostSeconds = 1e5;

    public static Verb Create()
    {
        var name = new Argument<string>("NAME") { Description = "the tape" };
        var side = Quantities.Text("--side", "A|B", "its side; A unless told");
        var from = Quantities.Number(
            "--from",
            "S",
            "where it begins, in seconds from the beginning of the side; 0 unless told",
            -1e-9,
            MostSeconds
        );
        var to = Quantities.Number("--to", "S", "where it ends", 0, MostSeconds);
        var speed = TapeOptions.Speed();
        var tracks = Quantities.Text("--tracks", "1,2", "tracks of the tape; all of the side unless told");
        var times = Quantities.Whole("--times", "N", "how often it has been recorded altogether; once more unless told", 1, 10_000);
        var what = Quantities.Text("--what", "TEXT", "what stands there");
        var studio = StudioInUse.Option();
        var command = new Command("use", "Notes that a stretch of a tape is recorded.")
        {
            name,
            side,
            from,
            to,
            speed,
            tracks,
            times,
            what,
            studio,
        };
        return new Verb(
            command,
            "offtape tape use LQ-1 --side A --to 95 --what pulse --studio .",
            (parsed, desk, _) =>
            {
                var start = Math.Max(0, parsed.GetValue(from) ?? 0);
                var end = parsed.GetValue(to) ?? throw Fault.Usage("tape use needs --to", "It says where the stretch ends, in seconds.");
                if (end <= start)
                    throw Fault.Usage("--to has to be behind --from");
                var numbers = Quantities.Tracks(parsed, tracks);
                using var store = StudioInUse.Open(parsed, studio);
                var shelf = new TapeShelf(store);
                var tape = shelf.Find(parsed.GetValue(name)!);
                var at = TapeOptions.SpeedFor(parsed.GetValue(speed), tape);
                shelf.Use(
                    tape.Name,
                    parsed.GetValue(side) ?? "A",
                    start,
                    end,
                    at,
                    numbers,
                    parsed.GetValue(times),
                    parsed.GetValue(what) ?? ""
                );
                var answer = TapeAnswer.From(shelf.Find(tape.Name), at, new SideMargins());
                desk.Result(answer, CliJsonContext.Default.TapeAnswer, sheet => TapeWords.Full(answer, sheet));
                return ExitCode.Done;
            }
        );
    }
}
