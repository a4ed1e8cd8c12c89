using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>
/// Finds a check signal in a capture: by its slates, else by its long tone, else its parts each by its own sound; and says which parts are there.
/// </summary>
public static class BenchLocator
{
    private const double MarginSeconds = 2;
    private const int PassesWithoutSlates = 3;
    private const double RateMixup = 48_000 / 44_100.0;
    private const double RateMixupTolerance = 0.012;

    /// <param name="path">A capture of any rate and number of channels; a damaged one is read as far as it is sound.</param>
    /// <param name="how">How it was taken.</param>
    /// <param name="sheet">The sheet of the check signal; null for one that was made without any choice but channels.</param>
    /// <param name="parts">Names or kinds of the parts that are known to be in it: told so, a part is found without a slate. Empty where nothing is known.</param>
    /// <param name="progress">Told how far it is.</param>
    /// <param name="cancellation">Stops it.</param>
    /// <exception cref="Fault">Input: the file cannot be read.</exception>
    public static BenchLocation Locate(
        string path,
        HowTaken how,
        BenchSheet? sheet,
        IReadOnlyList<string> parts,
        JobProgress progress,
        CancellationToken cancellation
    )
    {
        using var file = new FileAudio(path);
        return Locate(file, path, file.ReadAll, how, sheet, parts, progress, cancellation) is var location && file.Notices.Count > 0
            ? location with
            {
                Notices = [.. file.Notices, .. location.Notices],
            }
            : location;
    }

    /// <summary>As the other, for audio in memory.</summary>
    /// <param name="channels">One array a channel, all of one length; not to be written to afterwards.</param>
    /// <param name="sampleRateHz">Its rate.</param>
    /// <param name="how">How it was taken.</param>
    /// <param name="sheet">The sheet of the check signal; null as in the other.</param>
    /// <param name="parts">As in the other; null for none.</param>
    /// <param name="cancellation">Stops it.</param>
    public static BenchLocation Locate(
        float[][] channels,
        int sampleRateHz,
        HowTaken how,
        BenchSheet? sheet,
        IReadOnlyList<string>? parts = null,
        CancellationToken cancellation = default
    )
    {
        return Locate(new MemoryAudio(channels, sampleRateHz), "", Cut, how, sheet, parts ?? [], JobProgress.None, cancellation);

        float[][] Cut(long start, int count) => [.. channels.Select(c => c[(int)start..(int)Math.Min(c.Length, start + count)])];
    }

    private static BenchLocation Locate(
        ICaptureAudio audio,
        string path,
        Func<long, int, float[][]> cut,
        HowTaken how,
        BenchSheet? sheet,
        IReadOnlyList<string> parts,
        JobProgress progress,
        CancellationToken cancellation
    )
    {
        var location = new BenchLocation
        {
            File = path,
            SampleRateHz = audio.SampleRateHz,
            ChannelCount = audio.ChannelCount,
            LengthSeconds = (double)audio.FrameCount / audio.SampleRateHz,
            Runs = [],
        };
        var sheets = sheet is null ? SheetGuess.For(audio.ChannelCount) : [sheet];
        var slates = SlateEar.Hear(audio, progress.Part(0, 0.7), cancellation);
        var runs = RunSorter.Sort(slates, sheets);
        if (runs.Count == 0)
            runs = ToneFinder.Find(audio, sheets[0], cancellation);
        if (runs.Count > 0 && runs.All(r => r.IsReversed))
            return location with
            {
                WhyNone = "The check signal is heard backwards. Turn the tape over, or the capture round, and read it again.",
            };

        var notices = new List<Notice>();
        var found = new List<BenchCapture>();
        foreach (var run in runs.Where(r => !r.IsReversed))
        {
            progress.Report("finding", 0.7 + 0.3 * found.Count / runs.Count, "finding the parts");
            Add(run);
        }
        string? doubt = null;
        if (found.Count == 0 && slates.All(s => s.Code is null))
        {
            progress.Report("finding", 0.8, "listening for single parts");
            (var alone, doubt) = PartFinder.Find(audio, sheets[0], parts, cancellation);
            if (alone is not null)
                Add(alone);
        }
        return location with { Runs = found, WhyNone = found.Count > 0 ? null : doubt ?? WhyNone(slates, sheet), Notices = notices };

        void Add(LocatedRun run)
        {
            if (Build(run, audio, path, cut, how, cancellation) is not { } capture)
                return;
            found.Add(capture);
            AddNotices(run, sheet is null, notices);
        }
    }

    private static BenchCapture? Build(
        LocatedRun run,
        ICaptureAudio audio,
        string path,
        Func<long, int, float[][]> cut,
        HowTaken how,
        CancellationToken cancellation
    )
    {
        var rate = audio.SampleRateHz;
        var rough = run.RoughClock();
        // Only the run is kept: a side of tape may hold an hour of other things.
        var first = (long)Math.Clamp(Math.Floor((rough.CaptureAt(0) - MarginSeconds) * rate), 0, audio.FrameCount);
        var last = (long)
            Math.Clamp(Math.Ceiling((rough.CaptureAt(run.Sheet.LengthSeconds) + MarginSeconds) * rate), first, audio.FrameCount);
        if (last - first < 1)
            return null;
        var channels = cut(first, (int)(last - first));
        var start = (double)first / rate;
        var clock = Shifted(rough, -start);
        for (var pass = 0; pass < (run.HasSlates ? 1 : PassesWithoutSlates); pass++)
            clock = ClockRefiner.Refine(run, clock, channels, rate, cancellation);

        var breaks = run.Breaks().ToArray();
        var noiseDb = PartCheck.NoiseDb(channels, rate, run.Sheet, clock);
        var parts = run.Sheet.Parts;
        var reasons = new string?[parts.Count];
        var isClipped = new bool[parts.Count];
        Parallel.For(
            0,
            parts.Count,
            new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
            i =>
            {
                reasons[i] =
                    run.Alone is { } alone && !alone.Contains(parts[i].Name) && parts[i].Kind != BenchPartKind.Silence
                        ? "it was not found, and there is no slate to say where it is"
                        : PartCheck.WhatIsMissing(parts[i], run.Sheet, channels, noiseDb, rate, clock, breaks);
                isClipped[i] =
                    reasons[i] is null && Array.Exists(channels, c => ClipCheck.IsClipped(PartCheck.Cut(c, rate, clock, parts[i])));
            }
        );
        var capture = new BenchCapture(channels, rate, how, run.Sheet, clock, [.. parts.Where((_, i) => reasons[i] is null)])
        {
            File = path,
            StartInFileSeconds = start,
            Missing =
            [
                .. parts.Select((p, i) => (p, reasons[i])).Where(m => m.Item2 is not null).Select(m => new MissingPart(m.p.Name, m.Item2!)),
            ],
            Clipped = parts.Where((_, i) => isClipped[i]).Select(p => p.Name).ToHashSet(),
        };
        return run.HasSlates || (run.Alone is null ? IsBelieved(capture) : capture.Heard.Any(p => run.Alone.Contains(p.Name)))
            ? capture
            : null;
    }

    // One steady note alone may be anything: another part of the check signal has to stand where it should.
    private static bool IsBelieved(BenchCapture capture)
    {
        var sounding = capture.Sheet.Parts.Where(p => p.Kind is not (BenchPartKind.Silence or BenchPartKind.SpeedTone)).ToArray();
        var heard = sounding.Count(p => capture.Find(p.Name) is not null);
        return sounding.Length == 0 || heard >= 2;
    }

    private static TimeMap Shifted(TimeMap map, double bySeconds) =>
        new(map.SourceSeconds, [.. map.CaptureSeconds.Select(s => s + bySeconds)]);

    private static void AddNotices(LocatedRun run, bool isGuessed, List<Notice> notices)
    {
        void Add(string code, string text)
        {
            if (!notices.Exists(n => n.Code == code))
                notices.Add(new Notice(code, text));
        }

        if (Math.Abs(run.SpeedRatio / RateMixup - 1) < RateMixupTolerance || Math.Abs(run.SpeedRatio * RateMixup - 1) < RateMixupTolerance)
            Add(
                "sample-rate-mixup",
                $"It runs {Words.Number(run.SpeedRatio, 4)} times as fast as it was sent: 44.1 and 48 kHz were probably mixed up. "
                    + "Every frequency and speed read from it is off by that."
            );
        if (!run.HasSlates)
            Add(
                "slate-missing",
                run.Alone is { } alone
                    ? $"No slate of the check signal is heard; {Words.List([.. alone])} {(alone.Count == 1 ? "was" : "were")} found by "
                        + $"{(alone.Count == 1 ? "its" : "their")} sound."
                    : "No slate of the check signal is heard; it was found by its long tone."
            );
        if (isGuessed)
            Add(
                "sheet-guessed",
                $"No sheet was given: it is read as the check signal of {Words.Count(run.Sheet.ChannelCount, "channel")} with operating level at "
                    + $"{Words.Number(run.Sheet.OperatingLevelDbfs, 0)} dBFS."
            );
    }

    private static string WhyNone(IReadOnlyList<DetectedSlate> slates, BenchSheet? sheet) =>
        slates.Any(s => s.Code is not null)
            ? "Slates are heard, but of another signal"
                + (sheet is null ? ": give the sheet of this check signal with --sheet." : " than the one of this sheet.")
            : "The check signal is not in this capture: no slate of it is heard, and no long 3150 Hz tone with the other parts about it. "
                + "One part alone is found by its sound when it is named (--parts NAME), or by the slates about it when it was made with "
                + "bench signals --parts NAME; a plain tone is read by bench tone.";
}
