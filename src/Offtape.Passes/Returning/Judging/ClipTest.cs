using Offtape.Passes.Following;

namespace Offtape.Passes.Judging;

/// <summary>Whether the interface was overdriven: runs of samples at full scale within a take.</summary>
internal static class ClipTest
{
    private const double FullScale = 0.9998;
    private const int ShortestRun = 3;

    /// <summary>How many runs of three or more samples at full scale there are.</summary>
    internal static int Runs(FollowedTake take, IReadOnlyList<int> channels, CancellationToken cancellation)
    {
        using var reader = take.Capture.Recording.Open();
        var rate = reader.Format.SampleRateHz;
        var (a, b) = (take.StartCaptureSeconds, take.EndCaptureSeconds);
        var start = Math.Max(0, (long)(Math.Min(a, b) * rate));
        var end = Math.Min(reader.FrameCount, (long)(Math.Max(a, b) * rate));
        var count = reader.Format.ChannelCount;
        var block = new float[8192 * count];
        var lengths = new int[count];
        var runs = 0;
        for (var at = start; at < end; at += 8192)
        {
            cancellation.ThrowIfCancellationRequested();
            var frames = reader.Read(at, block.AsSpan(0, (int)Math.Min(8192, end - at) * count));
            foreach (var c in channels)
            {
                for (var f = 0; f < frames; f++)
                {
                    lengths[c] = Math.Abs(block[f * count + c]) >= FullScale ? lengths[c] + 1 : 0;
                    if (lengths[c] == ShortestRun)
                        runs++;
                }
            }
        }
        return runs;
    }
}
