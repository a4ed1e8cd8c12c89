using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>Hears the slates of a capture, all channels at once; memory does not grow with its length.</summary>
internal static class SlateEar
{
    private const int BlockFrames = 1 << 15;

    // Channels of one machine differ by its azimuth and no more.
    private const double SameUnitSeconds = 0.01;

    /// <summary>Slate units in order of time; what several channels heard at one time counts once, by the channel that heard it best.</summary>
    internal static IReadOnlyList<DetectedSlate> Hear(ICaptureAudio audio, JobProgress progress, CancellationToken cancellation)
    {
        var heard = new IReadOnlyList<DetectedSlate>[audio.ChannelCount];
        var total = (double)audio.FrameCount / audio.SampleRateHz * WorkingChannel.RateHz * audio.ChannelCount;
        long done = 0;
        Parallel.For(
            0,
            audio.ChannelCount,
            new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
            channel =>
            {
                var signal = new WorkingChannel(audio, channel);
                var detector = new SlateDetector(WorkingChannel.RateHz);
                var block = new float[BlockFrames];
                for (long start = 0; start < signal.FrameCount; start += BlockFrames)
                {
                    cancellation.ThrowIfCancellationRequested();
                    var frames = block.AsSpan(0, (int)Math.Min(BlockFrames, signal.FrameCount - start));
                    signal.Read(start, frames);
                    detector.Process(frames);
                    progress.Report("listening", Interlocked.Add(ref done, frames.Length) / total, "listening for slates");
                }
                heard[channel] = detector.Read(signal.Read);
            }
        );
        var units = new List<DetectedSlate>();
        foreach (var unit in heard.SelectMany(h => h).OrderByDescending(u => u.Strength + (u.Code is null ? 0 : 1)))
        {
            if (!units.Exists(m => Math.Abs(m.CentreSeconds - unit.CentreSeconds) < SameUnitSeconds))
                units.Add(unit);
        }
        return [.. units.OrderBy(u => u.CentreSeconds)];
    }
}
