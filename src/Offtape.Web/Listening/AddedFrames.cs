using Offtape.AudioFiles;

namespace Offtape.Web.Listening;

/// <summary>What the tape added: the take, brought to its source's level, polarity and delay, less the source.</summary>
internal static class AddedFrames
{
    /// <param name="source">The clean sound.</param>
    /// <param name="take">Its take in lock.</param>
    /// <param name="fits">By channel: what is matched.</param>
    /// <param name="format">How both are heard.</param>
    /// <param name="fromFrame">The first frame wanted.</param>
    /// <param name="interleaved">Receives whole frames.</param>
    public static void Read(
        IAudioReader source,
        IAudioReader take,
        ReadOnlySpan<ChannelFit> fits,
        HeardFormat format,
        long fromFrame,
        Span<float> interleaved
    )
    {
        Span<double> delays = stackalloc double[fits.Length];
        for (var c = 0; c < fits.Length; c++)
            delays[c] = fits[c].DelayFrames * take.Format.SampleRateHz / format.SampleRateHz;
        var clean = new float[interleaved.Length];
        HeardFrames.Read(source, format, fromFrame, clean);
        HeardFrames.Read(take, format, fromFrame, interleaved, delays);
        for (var i = 0; i < interleaved.Length; i++)
            interleaved[i] = (float)(interleaved[i] / fits[i % format.ChannelCount].Gain - clean[i]);
    }
}
