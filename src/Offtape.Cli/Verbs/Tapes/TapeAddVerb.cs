using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Tapes;

/// <summary>Puts a tape on the shelf.</summary>
internal static class TapeAddVerb
{
    public static Verb Create()
    {
        var name = new Argument<string>("NAME") { Description = "what its box says" };
        var length = Quantities.Text("--length", "C60|1800ft|540m", "a cassette by its name, or a length");
        var format = Quantities.Text("--format", "FORMAT", $"how its tracks lie: {Words.List([.. TrackFormatNames.Words])}");
        var type = Quantities.Text("--type", "TEXT", "what a machine is biased for: I, II, IV, or words");
        var thickness = Quantities.Number(
            "--thickness",
            "UM",
            "base and coating, in micrometres; as usual for its length unless told",
            1,
            200
        );
        var note = Quantities.Text("--note", "TEXT", "a remark");
        var studio = StudioInUse.Option();
        var command = new Command("add", "Puts a tape on the shelf.") { name, length, format, type, thickness, note, studio };
        return new Verb(
            command,
            "offtape tape add LQ-1 --length C60 --format cassette-stereo --studio .",
            (parsed, desk, _) =>
            {
                var tape = Entry(
                    parsed.GetValue(name)!.Trim(),
                    parsed.GetValue(length),
                    parsed.GetValue(format),
                    parsed.GetValue(type),
                    parsed.GetValue(thickness),
                    parsed.GetValue(note)
                );
                using var store = StudioInUse.Open(parsed, studio, isMade: true);
                var shelf = new TapeShelf(store);
                shelf.Add(tape, desk.Force);
                var added = shelf.Find(tape.Name);
                var answer = TapeAnswer.From(added, TapeOptions.SpeedFor(null, added), new SideMargins());
                desk.Result(answer, CliJsonContext.Default.TapeAnswer, sheet => TapeWords.Full(answer, sheet));
                return ExitCode.Done;
            }
        );
    }

    private static TapeEntry Entry(string name, string? length, string? format, string? type, double? thickness, string? note)
    {
        if (name.Length == 0)
            throw Fault.Usage("tape add needs a name", "Write it on the box as well.");
        double? metres = length is null
            ? null
            : TapeLengths.MetresOf(length)
                ?? throw Fault.Usage($"--length is a cassette as C60, or a length as 1800ft or 540m, not \"{length}\"");
        var tracks = format is null
            ? null
            : TrackFormatNames.Find(format)
                ?? throw Fault.Usage($"--format is one of {Words.List([.. TrackFormatNames.Words])}, not \"{format}\"");
        var isCassette = length is not null && length.Trim().StartsWith("c", StringComparison.OrdinalIgnoreCase);
        if (isCassette && tracks is not null && TrackFormatNames.MediumOf(tracks) != "cassette")
            throw Fault.Usage($"{length} is a cassette, and {format} is not", "Give the length in metres or feet, or another format.");
        return new TapeEntry(name)
        {
            Medium =
                tracks is not null ? TrackFormatNames.MediumOf(tracks)
                : isCassette ? "cassette"
                : null,
            Type = type,
            LengthMetres = metres,
            ThicknessMicrometres =
                thickness ?? TapeLengths.Cassettes.FirstOrDefault(c => isCassette && c.LengthMetres == metres)?.TotalThicknessMicrometres,
            Format = tracks,
            Note = note ?? "",
        };
    }
}
