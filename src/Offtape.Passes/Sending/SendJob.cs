using System.Security.Cryptography;
using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Passes;

/// <summary>Makes what is played to the machine, and the sheet that says what stands where.</summary>
public static class SendJob
{
    public const int MostTracks = 64;

    // A power of two of samples: a few thousand frames of a stereo send, a thousand of 64 tracks.
    private const int BlockSamples = 1 << 15;
    private const double ReadingShare = 0.35;

    /// <summary>Writes <c>send.wav</c> and <c>pass.json</c> into the target folder: both or neither.</summary>
    /// <returns>Also when the send does not fit the side: then nothing was written, and the result says how to split it.</returns>
    /// <exception cref="Fault">Usage, an input that cannot be read, an output that cannot be written.</exception>
    /// <exception cref="OperationCanceledException">Cancelled: nothing stays.</exception>
    public static SendResult Run(SendRequest request, JobProgress progress, CancellationToken cancellation)
    {
        RequestCheck.Check(request);
        var files = new SendFiles(request.TargetFolder, request.Force);
        files.CheckTargets();
        var notices = new List<Notice>();
        var named = Open(SourceSurvey.Expand(request.Sources, files.SendPath), files, progress.Part(0, 0.05), cancellation);
        var sampleRateHz = SendRate.Choose(named, request, notices);
        var tracks = TrackPlan.Make(named, request);
        var measured = Measure(named, notices, progress.Part(0.05, ReadingShare), cancellation);
        var plan = Plan(request, sampleRateHz, tracks, measured, notices);
        var side = SidePlanner.Plan(
            [.. plan.Items.Select(i => i.Source.Name)],
            [.. plan.Items.Select(i => i.Stretch.FrameCount)],
            request,
            sampleRateHz
        );
        var sheet = SheetMaker.Make(plan, side);
        SendNotices.Add(notices, plan, tracks, side);
        if (!side.Fits)
            return new SendResult
            {
                ExitCode = ExitCode.Incomplete,
                Written = false,
                Sheet = sheet,
                Steps = [],
                Side = side,
                Notices = notices,
            };
        var clipped = files.Write(Format(plan), writer => WriteAudio(plan, writer, progress.Part(ReadingShare, 1), cancellation), sheet);
        if (clipped > 0)
            notices.Add(SendNotices.Clipped(clipped));
        return new SendResult
        {
            ExitCode = plan.Items.Count < named.Count ? ExitCode.Incomplete : ExitCode.Done,
            Written = true,
            SendPath = files.SendPath,
            SheetPath = files.SheetPath,
            Sheet = sheet,
            Steps = RunSteps.For(sheet, side),
            Side = side,
            Notices = notices,
        };
    }

    private static List<SourceFile> Open(IReadOnlyList<string> paths, SendFiles files, JobProgress progress, CancellationToken cancellation)
    {
        var sources = new List<SourceFile>();
        foreach (var path in paths)
        {
            cancellation.ThrowIfCancellationRequested();
            if (SafePath.AreSame(path, files.SendPath))
                throw Fault.Usage(
                    $"{Path.GetFileName(path)} is a source, and the send would be written over it",
                    "Choose another folder with --to."
                );
            progress.Report("reading", (double)sources.Count / paths.Count, $"opening {sources.Count + 1} of {paths.Count}");
            sources.Add(SourceSurvey.Open(path));
        }
        return sources;
    }

    private static List<SourceFile> Measure(
        IReadOnlyList<SourceFile> sources,
        List<Notice> notices,
        JobProgress progress,
        CancellationToken cancellation
    )
    {
        var measured = new List<SourceFile>();
        var wholeSeconds = sources.Sum(s => s.LengthSeconds);
        double doneSeconds = 0;
        foreach (var source in sources)
        {
            var words = $"reading {measured.Count + 1} of {sources.Count}";
            var before = doneSeconds;
            measured.Add(
                SourceSurvey.Measure(
                    source,
                    notices,
                    share => progress.Report("reading", (before + share * source.LengthSeconds) / wholeSeconds, words),
                    cancellation
                )
            );
            doneSeconds += source.LengthSeconds;
        }
        return measured;
    }

    private static SendPlan Plan(
        SendRequest request,
        int sampleRateHz,
        TrackPlan tracks,
        IReadOnlyList<SourceFile> measured,
        List<Notice> notices
    )
    {
        var sounding = Enumerable.Range(0, measured.Count).Where(i => !SourceSurvey.IsSilent(measured[i])).ToArray();
        if (sounding.Length == 0)
            throw Fault.Input(
                measured[0].Path,
                measured.Count == 1 ? "it is silent from end to end" : "it is silent from end to end, and so is every other source",
                null,
                "There is nothing to send."
            );
        notices.AddRange(measured.Where(SourceSurvey.IsSilent).Select(SendNotices.Silent));
        var loudest = sounding.Max(i => measured[i].PeakLinear);
        var steps = sounding.Select(i => SendPlan.StepFrames(measured[i].SampleRateHz, sampleRateHz, request.PrintRatio)).ToArray();
        var time = TimePlan.Make(
            [.. sounding.Select((i, n) => SendPlan.SendFrames(measured[i].FrameCount, steps[n]))],
            request,
            sampleRateHz
        );
        return new SendPlan
        {
            Request = request,
            PassId = request.PassId ?? NewPassId(),
            SampleRateHz = sampleRateHz,
            ChannelCount = tracks.ChannelCount,
            Time = time,
            Items =
            [
                .. sounding.Select(
                    (i, n) =>
                        new PlannedItem(
                            measured[i],
                            time.Items[n],
                            tracks.TracksBySource[i],
                            SendPlan.GainDb(measured[i], loudest, request),
                            steps[n]
                        )
                ),
            ],
        };
    }

    private static void WriteAudio(SendPlan plan, AudioWriter writer, JobProgress progress, CancellationToken cancellation)
    {
        using var renderer = new SendRenderer(plan);
        var blockFrames = Math.Max(1, BlockSamples / plan.ChannelCount);
        var block = new float[blockFrames * plan.ChannelCount];
        var length = plan.Time.FrameCount;
        for (long frame = 0; frame < length; frame += blockFrames)
        {
            cancellation.ThrowIfCancellationRequested();
            var part = block.AsSpan(0, (int)Math.Min(blockFrames, length - frame) * plan.ChannelCount);
            renderer.Render(frame, part);
            writer.Write(part);
            progress.Report("writing", (double)frame / length, "writing the send");
        }
        progress.Report("writing", 1, "writing the send");
        cancellation.ThrowIfCancellationRequested();
    }

    private static AudioFormat Format(SendPlan plan) =>
        new(
            plan.SampleRateHz,
            plan.ChannelCount,
            plan.Request.Depth switch
            {
                SendDepth.Pcm16 => SampleEncoding.Pcm16,
                SendDepth.Pcm24 => SampleEncoding.Pcm24,
                _ => SampleEncoding.Float32,
            }
        );

    // Short enough for a box, with no letter that can be taken for another; 32^8 of them.
    private static string NewPassId()
    {
        var letters = RandomNumberGenerator.GetString("23456789abcdefghjkmnpqrstuvwxyz", 8);
        return $"{letters[..4]}-{letters[4..]}";
    }
}
