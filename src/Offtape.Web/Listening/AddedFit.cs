using Offtape.AudioFiles;
using Offtape.Signal;

namespace Offtape.Web.Listening;

/// <summary>
/// What is matched before the source is taken from a take. Over stretches spread through the whole sound, so that a long one takes no longer
/// than a short one.
/// </summary>
internal static class AddedFit
{
    private const int StretchFrames = 1 << 16;
    private const int MostStretches = 24;

    /// <summary>Null where the source or the take is silent.</summary>
    /// <param name="source">The clean sound.</param>
    /// <param name="take">Its take in lock.</param>
    /// <param name="format">How both are heard.</param>
    public static ChannelFit[]? Of(IAudioReader source, IAudioReader take, HeardFormat format)
    {
        var level = new LevelSums[format.ChannelCount];
        var tone = new ToneSums[format.ChannelCount];
        for (var c = 0; c < level.Length; c++)
            (level[c], tone[c]) = (new LevelSums(StretchFrames), new ToneSums(StretchFrames));
        // Windows that overlap by half, from half a window before the sound to half of one over its end: together they weigh it evenly.
        var all = (format.FrameCount + StretchFrames / 2 - 1) / (StretchFrames / 2) + 1;
        var count = (int)Math.Min(all, MostStretches);
        var reach = LevelSums.ReachFrames(format.SampleRateHz);
        var (a, b) = (new float[StretchFrames * format.ChannelCount], new float[(StretchFrames + 2 * reach) * format.ChannelCount]);
        var (s, t) = (new float[StretchFrames], new float[StretchFrames + 2 * reach]);
        for (var i = 0; i < count; i++)
        {
            var from = (all - 1) * (StretchFrames / 2) * i / Math.Max(1, count - 1) - StretchFrames / 2;
            HeardFrames.Read(source, format, from, a);
            HeardFrames.Read(take, format, from - reach, b);
            for (var c = 0; c < level.Length; c++)
            {
                Pick(a, c, format.ChannelCount, s);
                Pick(b, c, format.ChannelCount, t);
                level[c].Add(s, t, reach);
                tone[c].Add(s, t.AsSpan(reach, StretchFrames));
            }
        }
        var fits = new ChannelFit[format.ChannelCount];
        for (var c = 0; c < fits.Length; c++)
        {
            if (level[c].Fit(format.SampleRateHz) is not { } fit)
                return null;
            fits[c] = fit with { Tone = tone[c].Response(format.FrameCount) };
        }
        return fits;
    }

    private static void Pick(float[] interleaved, int channel, int channelCount, float[] samples)
    {
        for (int f = 0, j = channel; f < samples.Length; f++, j += channelCount)
            samples[f] = interleaved[j];
    }
}
