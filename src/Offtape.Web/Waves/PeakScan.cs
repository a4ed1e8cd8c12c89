using System.Numerics;
using System.Runtime.CompilerServices;

namespace Offtape.Web.Waves;

/// <summary>The least and the greatest sample of each channel of a stretch of interleaved audio.</summary>
internal static class PeakScan
{
    /// <param name="interleaved">Whole frames, at least one; finite.</param>
    /// <param name="channelCount">Channels.</param>
    /// <param name="peaks">Receives least and greatest of the first channel, of the second, and so on.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Of(ReadOnlySpan<float> interleaved, int channelCount, Span<float> peaks)
    {
        var done = 0;
        peaks = peaks[..(2 * channelCount)];
        for (var c = 0; c < channelCount; c++)
            (peaks[2 * c], peaks[2 * c + 1]) = (float.PositiveInfinity, float.NegativeInfinity);
        // Where a vector holds whole frames, each of its lanes stays with one channel.
        if (Vector<float>.Count % channelCount == 0 && interleaved.Length >= Vector<float>.Count)
        {
            var least = new Vector<float>(float.PositiveInfinity);
            var greatest = new Vector<float>(float.NegativeInfinity);
            for (; done <= interleaved.Length - Vector<float>.Count; done += Vector<float>.Count)
            {
                var samples = new Vector<float>(interleaved[done..]);
                least = Vector.Min(least, samples);
                greatest = Vector.Max(greatest, samples);
            }
            for (var lane = 0; lane < Vector<float>.Count; lane++)
                Include(peaks, lane % channelCount, least[lane], greatest[lane]);
        }
        for (var channel = 0; done < interleaved.Length; done++)
        {
            Include(peaks, channel, interleaved[done], interleaved[done]);
            channel = channel + 1 == channelCount ? 0 : channel + 1;
        }
    }

    /// <summary>Peaks of several bins taken together.</summary>
    /// <param name="bins">The values of at least one bin, one bin after another.</param>
    /// <param name="channelCount">Channels.</param>
    /// <param name="peaks">Receives the values of one bin.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Join(ReadOnlySpan<float> bins, int channelCount, Span<float> peaks)
    {
        var width = 2 * channelCount;
        bins[..width].CopyTo(peaks);
        for (var at = width; at < bins.Length; at += width)
        for (var c = 0; c < channelCount; c++)
            Include(peaks, c, bins[at + 2 * c], bins[at + 2 * c + 1]);
    }

    private static void Include(Span<float> peaks, int channel, float least, float greatest)
    {
        peaks[2 * channel] = Math.Min(peaks[2 * channel], least);
        peaks[2 * channel + 1] = Math.Max(peaks[2 * channel + 1], greatest);
    }
}
