using Offtape.AudioFiles;
using Offtape.Signal;

namespace Offtape.Web.Listening;

/// <summary>Frames of a file in the rate and the channels in which it is heard.</summary>
internal static class HeardFrames
{
    /// <summary>Reads frames; beyond the end there is silence. A file of another rate is retimed to the one it is heard in; pieces join.</summary>
    /// <param name="reader">The file.</param>
    /// <param name="format">How it is heard.</param>
    /// <param name="fromFrame">The first frame wanted, at the heard rate.</param>
    /// <param name="interleaved">Receives whole frames.</param>
    /// <param name="delaysFrames">By channel: how much later the file is read, in its own frames; empty for not at all.</param>
    public static void Read(
        IAudioReader reader,
        HeardFormat format,
        long fromFrame,
        Span<float> interleaved,
        ReadOnlySpan<double> delaysFrames = default
    )
    {
        var frames = interleaved.Length / format.ChannelCount;
        var isAsItIs = reader.Format.SampleRateHz == format.SampleRateHz && delaysFrames.IsEmpty;
        var step = (double)reader.Format.SampleRateHz / format.SampleRateHz;
        var margin = isAsItIs ? 0 : Retimer.HalfWidthFrames(step) + MostDelayFrames(delaysFrames) + 2;
        var from = isAsItIs ? fromFrame : (long)Math.Floor(fromFrame * step) - margin;
        var span = isAsItIs ? frames : (int)Math.Ceiling(frames * step) + 2 * margin + 1;
        var stored = new float[span * reader.Format.ChannelCount];
        var skip = (int)Math.Clamp(-from, 0, span);
        if (skip < span)
            reader.Read(from + skip, stored.AsSpan(skip * reader.Format.ChannelCount));
        var channel = new float[span];
        var heard = new float[frames];
        for (var c = 0; c < format.ChannelCount; c++)
        {
            // One channel alone is heard on both sides.
            for (int i = 0, j = Math.Min(c, reader.Format.ChannelCount - 1); i < span; i++, j += reader.Format.ChannelCount)
                channel[i] = stored[j];
            if (isAsItIs)
                channel.CopyTo(heard, 0);
            else
                Retimer.RenderFixed(channel, from, delaysFrames.IsEmpty ? 0 : delaysFrames[c], step, heard, fromFrame);
            for (int i = 0, j = c; i < frames; i++, j += format.ChannelCount)
                interleaved[j] = heard[i];
        }
    }

    private static int MostDelayFrames(ReadOnlySpan<double> delays)
    {
        var most = 0.0;
        foreach (var delay in delays)
            most = Math.Max(most, Math.Abs(delay));
        return (int)Math.Ceiling(most);
    }
}
