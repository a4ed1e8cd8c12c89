using Offtape.Tape;

namespace Offtape.Passes.Listening;

/// <summary>One pass over one channel of a capture: its slates, its level, and what it is where nothing plays.</summary>
internal sealed record ChannelScan
{
    private const int BlockFrames = 1 << 15;

    internal required IReadOnlyList<DetectedSlate> Slates { get; init; }

    internal required LevelCurve Level { get; init; }

    internal required NoiseSpectrum Noise { get; init; }

    /// <param name="signal">The channel.</param>
    /// <param name="withSlates">False where no slate can be expected: saves half the time.</param>
    /// <param name="heard">Called with the frames of each block.</param>
    /// <param name="cancellation">Stops it.</param>
    internal static ChannelScan Of(WorkingSignal signal, bool withSlates, Action<int> heard, CancellationToken cancellation)
    {
        var detector = withSlates ? new SlateDetector(signal.WorkingRateHz) : null;
        var level = new LevelCurveBuilder();
        var noise = new NoiseSpectrumBuilder(signal.WorkingRateHz, signal.FrameCount);
        var block = new float[BlockFrames];
        for (long start = 0; start < signal.FrameCount; start += BlockFrames)
        {
            cancellation.ThrowIfCancellationRequested();
            signal.Read(start, block);
            var frames = block.AsSpan(0, (int)Math.Min(BlockFrames, signal.FrameCount - start));
            detector?.Process(frames);
            level.Add(frames);
            noise.Add(frames);
            heard(frames.Length);
        }
        return new ChannelScan
        {
            Slates = detector?.Read(signal.Read) ?? [],
            Level = level.Build(),
            Noise = noise.Build(),
        };
    }
}
