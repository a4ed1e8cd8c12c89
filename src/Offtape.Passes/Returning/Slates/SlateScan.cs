using Offtape.Base;
using Offtape.Passes.Listening;
using Offtape.Tape;

namespace Offtape.Passes.Slates;

/// <summary>Listens to every channel of a capture for slates; what several channels heard at one time counts once.</summary>
internal static class SlateScan
{
    private const int BlockFrames = 1 << 15;

    // Channels of one machine differ by its azimuth and no more.
    private const double SameUnitSeconds = 0.01;

    internal static IReadOnlyList<DetectedSlate> Of(Recording recording, JobProgress progress, CancellationToken cancellation)
    {
        var channelCount = recording.Format.ChannelCount;
        var heard = new IReadOnlyList<DetectedSlate>[channelCount];
        long done = 0;
        Parallel.For(
            0,
            channelCount,
            new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
            channel =>
            {
                using var ear = new Ear(recording);
                var signal = ear.Channel(channel);
                var detector = new SlateDetector(WorkingSignal.UsualRateHz);
                var block = new float[BlockFrames];
                for (long start = 0; start < signal.FrameCount; start += BlockFrames)
                {
                    cancellation.ThrowIfCancellationRequested();
                    signal.Read(start, block);
                    detector.Process(block.AsSpan(0, (int)Math.Min(BlockFrames, signal.FrameCount - start)));
                    var frames = Interlocked.Add(ref done, BlockFrames);
                    progress.Report(
                        "listening",
                        (double)frames / (signal.FrameCount * channelCount),
                        $"listening for slates in {recording.Name}"
                    );
                }
                heard[channel] = detector.Read(signal.Read);
            }
        );
        var merged = new List<DetectedSlate>();
        foreach (var unit in heard.SelectMany(h => h).OrderByDescending(u => u.Strength + (u.Code is null ? 0 : 1)))
        {
            if (!merged.Exists(m => Math.Abs(m.CentreSeconds - unit.CentreSeconds) < SameUnitSeconds))
                merged.Add(unit);
        }
        return [.. merged.OrderBy(m => m.CentreSeconds)];
    }
}
