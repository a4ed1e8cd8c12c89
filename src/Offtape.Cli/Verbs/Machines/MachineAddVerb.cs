using System.CommandLine;
using System.Globalization;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Machines;

/// <summary>Adds a machine to the studio, or completes one.</summary>
internal static class MachineAddVerb
{
    private const double MostHours = 200_000;

    public static Verb Create()
    {
        var name = MachineOptions.Name();
        var kind = Quantities.Choice("--kind", "what it is", [.. MachineEntry.Kinds]);
        var monitoring = Quantities.Choice(
            "--monitoring",
            "off-tape: it replays while it records; rewound: it does not",
            "off-tape",
            "rewound"
        );
        var speeds = Quantities.Text("--speeds", "CM/S[,...]", "tape speeds it has, as 9.525,19.05 or 7.5ips");
        var format = Quantities.Text("--format", "WORD", $"tracks on the tape: {Words.List([.. TrackFormatNames.Words])}");
        var gap = Quantities.Number("--gap-mm", "MM", "distance from the record head to the replay head along the tape", 0, 10_000);
        var mains = Quantities.Choice("--mains", "mains frequency in Hz that it runs on", "50", "60");
        var hours = Quantities.Number("--hours", "H", "hours it had run before the log began", -1e-9, MostHours);
        var note = MachineOptions.Note();
        var studio = StudioInUse.Option();
        var command = new Command("add", "Adds a machine to the studio, or completes what is known of one.")
        {
            name,
            kind,
            monitoring,
            speeds,
            format,
            gap,
            mains,
            hours,
            note,
            studio,
        };
        return new Verb(
            command,
            "offtape machine add deck --kind cassette-deck --monitoring off-tape",
            (parsed, desk, _) =>
            {
                var machine = new MachineEntry
                {
                    Name = MachineOptions.Name(parsed, name),
                    Kind = parsed.GetValue(kind),
                    Monitoring = parsed.GetValue(monitoring),
                    SpeedsCmPerSecond = Speeds(parsed.GetValue(speeds)),
                    TrackFormat = Format(parsed.GetValue(format)),
                    HeadDistanceMm = parsed.GetValue(gap),
                    MainsHz = parsed.GetValue(mains) is { } hz ? double.Parse(hz, CultureInfo.InvariantCulture) : null,
                    HoursWhenAdded = parsed.GetValue(hours) is { } h ? Math.Max(0, h) : null,
                    Note = parsed.GetValue(note),
                };
                using var store = StudioInUse.Open(parsed, studio, isMade: true);
                var book = new MachineBook(store);
                var isNew = book.Put(machine, DateTime.UtcNow);
                var view = book.Find(machine.Name);
                desk.Result(
                    view,
                    CliJsonContext.Default.MachineView,
                    sheet =>
                    {
                        sheet.Line($"{(isNew ? "Added" : "Completed")} {view.Machine.Name}.");
                        MachineWords.Facts(view, sheet);
                    }
                );
                return ExitCode.Done;
            }
        );
    }

    private static string? Speeds(string? text) =>
        text is null
            ? null
            : string.Join(
                ',',
                text.Split(',')
                    .Select(t =>
                        TypedQuantity.Speed(t) is { } speed and > 0.5 and < 400
                            ? speed.ToString("0.####", CultureInfo.InvariantCulture)
                            : throw Fault.Usage($"--speeds takes tape speeds in cm/s with commas, as 9.525,19.05, not \"{t}\"")
                    )
            );

    private static string? Format(string? word) =>
        word is null ? null
        : TrackFormatNames.Find(word) is { } format ? TrackFormatNames.Of(format)
        : throw Fault.Usage($"--format is one of {Words.List([.. TrackFormatNames.Words])}, not \"{word}\"");
}
