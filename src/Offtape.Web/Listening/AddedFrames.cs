using Offtape.AudioFiles;

namespace Offtape.Web.Listening;

/// <summary>What the tape added: a take less its source, at the level of the source.</summary>
internal static class AddedFrames
{
    /// <summary>With level, polarity and delay matched: what the tape did to the tone stays in.</summary>
    /// <param name="source">The clean sound.</param>
    /// <param name="take">Its take in lock.</param>
    /// <param name="fits">By channel: what is matched.</param>
    /// <param name="format">How both are heard.</param>
    /// <param name="fromFrame">The first frame wanted.</param>
    /// <param name="interleaved">Receives whole frames.</param>
    public static void Read(
        IAudioReader source,
        IAudioReader take,
        IReadOnlyList<ChannelFit> fits,
        HeardFormat format,
        long fromFrame,
        Span<float> interleaved
    )
    {
        var delays = fits.Select(f => f.DelayFrames * take.Format.SampleRateHz / format.SampleRateHz).ToArray();
        var clean = new float[interleaved.Length];
        HeardFrames.Read(source, format, fromFrame, clean);
        HeardFrames.Read(take, format, fromFrame, interleaved, delays);
        for (var i = 0; i < interleaved.Length; i++)
            interleaved[i] = (float)(interleaved[i] * fits[i % format.ChannelCount].Gain - clean[i]);
    }

    /// <summary>As <see cref="Read"/>, with the tone matched as well: hiss, distortion, dropouts and what lock could not follow are left.</summary>
    public static void ReadToneAside(
        IAudioReader source,
        IAudioReader take,
        IReadOnlyList<ChannelFit> fits,
        HeardFormat format,
        long fromFrame,
        Span<float> interleaved
    )
    {
        var frames = interleaved.Length / format.ChannelCount;
        HeardFrames.Read(take, format, fromFrame, interleaved);
        for (var c = 0; c < format.ChannelCount; c++)
        {
            var taps = fits[c].Tone;
            var around = new float[(frames + taps.Length - 1) * format.ChannelCount];
            HeardFrames.Read(source, format, fromFrame - taps.Length / 2, around);
            var channel = new float[frames + taps.Length - 1];
            for (int i = 0, j = c; i < channel.Length; i++, j += format.ChannelCount)
                channel[i] = around[j];
            var toned = new float[frames];
            ToneFilter.Apply(channel, taps, toned);
            for (int i = 0, j = c; i < frames; i++, j += format.ChannelCount)
                interleaved[j] = (float)((interleaved[j] - toned[i]) / fits[c].LevelRatio);
        }
    }
}
