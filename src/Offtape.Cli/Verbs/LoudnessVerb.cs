using System.CommandLine;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Passes;
using Offtape.Signal;

namespace Offtape.Cli.Verbs;

/// <summary>How loud files are, by the published measure, so that takes and sources are compared fairly.</summary>
internal static class LoudnessVerb
{
    private const int BlockFrames = 16_384;

    public static Verb Create()
    {
        var files = SoundArguments.Many("FILE", "audio files, or folders of them");
        var command = new Command("loudness", "Measures loudness and peaks (ITU-R BS.1770, EBU R 128).") { files };
        return new Verb(
            command,
            "offtape loudness takes/fit/*.wav",
            (parsed, desk, cancellation) => Run(SoundFolders.Files(parsed.GetValue(files)!), desk, cancellation)
        );
    }

    private static ExitCode Run(IReadOnlyList<string> files, Desk desk, CancellationToken cancellation)
    {
        // Open all before measuring any: a name that is wrong is told at once, not after minutes of work.
        foreach (var file in files)
            using (AudioFile.Open(file)) { }

        var progress = desk.Progress.Begin();
        var rows = new List<LoudnessRow>();
        for (var i = 0; i < files.Count; i++)
        {
            var words = $"measuring {i + 1} of {files.Count}";
            rows.Add(Measure(files[i], progress.Part((double)i / files.Count, (double)(i + 1) / files.Count), words, desk, cancellation));
        }
        desk.Result<IReadOnlyList<LoudnessRow>>(rows, CliJsonContext.Default.IReadOnlyListLoudnessRow, sheet => Say(rows, sheet));
        return ExitCode.Done;
    }

    private static LoudnessRow Measure(string file, JobProgress progress, string words, Desk desk, CancellationToken cancellation)
    {
        using var reader = AudioFile.Open(file);
        var meter = new LoudnessMeter(reader.Format.ChannelCount, reader.Format.SampleRateHz);
        var block = new float[BlockFrames * reader.Format.ChannelCount];
        for (long at = 0; at < reader.FrameCount; )
        {
            cancellation.ThrowIfCancellationRequested();
            var got = reader.Read(at, block);
            if (got == 0)
                break;
            meter.Add(block.AsSpan(0, got * reader.Format.ChannelCount));
            at += got;
            progress.Report("measuring", (double)at / reader.FrameCount, words);
        }
        foreach (var notice in reader.Notices)
            desk.Tell(notice);
        return new LoudnessRow(
            file,
            meter.IntegratedLufs,
            meter.LoudnessRangeLu,
            meter.TruePeakDbtp,
            meter.SamplePeakDbfs,
            meter.MomentaryMaxLufs,
            meter.ShortTermMaxLufs
        );
    }

    private static void Say(List<LoudnessRow> rows, Sheet sheet)
    {
        sheet.Table(
            ["file", ">integrated", ">range", ">true peak", ">sample peak", ">short-term max", ">momentary max"],
            rows.Select(r =>
                (string[])
                    [
                        Path.GetFileName(r.File),
                        Words.Number(r.IntegratedLufs, 1) + " LUFS",
                        Words.Number(r.LoudnessRangeLu, 1) + " LU",
                        Words.Number(r.TruePeakDbtp, 1) + " dBTP",
                        Words.Number(r.SamplePeakDbfs, 1) + " dBFS",
                        Words.Number(r.ShortTermMaxLufs, 1) + " LUFS",
                        Words.Number(r.MomentaryMaxLufs, 1) + " LUFS",
                    ]
            )
        );
        if (rows.Any(r => double.IsNegativeInfinity(r.IntegratedLufs)))
            sheet.Line().Line("−∞: shorter than 0.4 s, or nothing in it above −70 LUFS.");
    }
}

/// <summary>One file of <c>loudness</c>; what a short or silent file cannot have is null in JSON.</summary>
internal sealed record LoudnessRow(
    string File,
    double IntegratedLufs,
    double LoudnessRangeLu,
    double TruePeakDbtp,
    double SamplePeakDbfs,
    double MomentaryMaxLufs,
    double ShortTermMaxLufs
);
