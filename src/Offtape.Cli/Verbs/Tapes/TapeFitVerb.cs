using System.CommandLine;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Passes;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Tapes;

/// <summary>Where do these sounds fit?</summary>
internal static class TapeFitVerb
{
    public static Verb Create()
    {
        var sounds = SoundArguments.Many("SOUND", "what is to be printed; files or folders of them");
        var on = Quantities.Texts("--on", "NAME...", "tapes it may go to; every tape of the studio unless told");
        on.Arity = ArgumentArity.ZeroOrMore;
        var speed = TapeOptions.Speed();
        var ratio = Quantities.Number("--print-ratio", "RATIO", "send duration ÷ source duration: 2 prints at half speed", 0.1, 10);
        var gap = Quantities.Number(
            "--gap",
            "S",
            $"between two sounds, and beside what is recorded; {SendRequest.DefaultGapSeconds:0} unless told",
            -1e-9,
            600
        );
        var tracks = Quantities.Text(
            "--tracks",
            "1,2",
            "tracks of the tape it goes to; else all of a side of two tracks, and of one of more as many as a sound has channels"
        );
        var start = TapeOptions.StartMargin();
        var end = TapeOptions.EndMargin();
        var machine = TapeOptions.Machine();
        var studio = StudioInUse.Option();
        var command = new Command("fit", "Says where sounds fit on the tapes there are, without recording over anything.")
        {
            sounds,
            on,
            speed,
            ratio,
            gap,
            tracks,
            start,
            end,
            machine,
            studio,
        };
        return new Verb(
            command,
            "offtape tape fit stems --speed 9.525 --studio .",
            (parsed, desk, _) =>
            {
                var files = SoundFolders.Files(parsed.GetValue(sounds)!);
                var stretch = parsed.GetValue(ratio) ?? 1;
                var packed = files.Select(f => Sound(f, stretch)).ToArray();
                using var store = StudioInUse.Open(parsed, studio);
                var shelf = new TapeShelf(store);
                var names = parsed.GetValue(on) ?? [];
                var tapes = names.Length > 0 ? [.. names.Select(shelf.Find)] : shelf.All();
                if (tapes.Count == 0)
                    throw Fault.Incomplete("There is no tape yet", "Put one on the shelf with tape add.");
                var at = TapeOptions.SpeedFor(parsed.GetValue(speed), tapes[0]);
                var fit = ShelfFit.Of(
                    packed,
                    tapes,
                    at,
                    TapeOptions.Margins(parsed.GetValue(start), parsed.GetValue(end)),
                    Math.Max(0, parsed.GetValue(gap) ?? SendRequest.DefaultGapSeconds),
                    Quantities.Tracks(parsed, tracks)
                );
                var counters = parsed.GetValue(machine) is { } own
                    ? tapes.ToDictionary(t => t.Name, t => shelf.Counter(own, t))
                    : new Dictionary<string, CounterCurve?>();
                var answer = new FitAnswer(
                    at.CmPerSecond,
                    [
                        .. fit.Sounds.Select(s => new FitRow(
                            s.Sound,
                            s.TapeSeconds,
                            s.Place?.Tape,
                            s.Place?.Side,
                            s.StartMetres / at.MetresPerSecond,
                            s.Place is { } p && s.StartMetres is { } metres ? counters.GetValueOrDefault(p.Tape)?.CounterAt(metres) : null
                        )
                        {
                            Tracks = s.Tracks,
                        }),
                    ],
                    fit.IsProven,
                    fit.Free.Sum(f => f.Seconds(at))
                );
                desk.Result(answer, CliJsonContext.Default.FitAnswer, sheet => Say(answer, sheet));
                return fit.IsComplete ? ExitCode.Done : ExitCode.Incomplete;
            }
        );
    }

    private static PackedSound Sound(string file, double stretch)
    {
        using var reader = AudioFile.Open(file);
        return new PackedSound(Path.GetFileName(file), stretch * reader.FrameCount / reader.Format.SampleRateHz)
        {
            ChannelCount = reader.Format.ChannelCount,
        };
    }

    private static void Say(FitAnswer answer, Sheet sheet)
    {
        var hasCounter = answer.Sounds.Any(s => s.StartCounter is not null);
        var hasTracks = answer.Sounds.Any(s => s.Tracks.Count > 0);
        sheet
            .Line(
                $"At {Figures.Speed(answer.SpeedCmPerSecond)}, {Words.Duration(answer.FreeSeconds)} are free{(hasTracks ? ", one track after another" : "")}:"
            )
            .Line();
        sheet.Table(
            [
                "sound",
                ">lasts",
                "tape",
                "side",
                .. hasTracks ? ["track"] : Array.Empty<string>(),
                ">from",
                .. hasCounter ? [">counter"] : Array.Empty<string>(),
            ],
            answer.Sounds.Select(s =>
                (string[])
                    [
                        s.Sound,
                        TapeWords.Clock(s.TapeSeconds),
                        s.Tape ?? "fits nowhere",
                        s.Side ?? "",
                        .. hasTracks ? [string.Join(", ", s.Tracks)] : Array.Empty<string>(),
                        s.StartSeconds is { } from ? TapeWords.Clock(from) : "",
                        .. hasCounter ? [s.StartCounter is { } shown ? Figures.Plain(shown, 0) : ""] : Array.Empty<string>(),
                    ]
            )
        );
        var left = answer.Sounds.Count(s => s.Tape is null);
        if (left > 0)
            sheet
                .Line()
                .Paragraph(
                    $"{Words.Count(left, "sound")} of {answer.Sounds.Count} find no free stretch. Take another tape, or record over one (tape show says what stands there).",
                    "",
                    sheet.Ink.Warn
                );
        sheet
            .Line()
            .Paragraph(
                answer.IsProvenBest
                    ? "As many sounds as can be, on the fewest tapes and stretches; no way is better."
                    : "There are too many ways to try all: this is the best that was met."
            );
    }
}
