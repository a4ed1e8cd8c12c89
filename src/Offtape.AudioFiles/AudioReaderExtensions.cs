using System.Buffers;
using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>Other ways of reading an audio file.</summary>
public static class AudioReaderExtensions
{
    /// <summary>
    /// A reader of some channels, in the order given; all else is as in the original, which it takes over: dispose the result only.
    /// </summary>
    /// <param name="reader">The file.</param>
    /// <param name="channelIndexes">Counted from 0; a channel may be picked more than once.</param>
    /// <exception cref="Fault">The file has no such channel.</exception>
    public static IAudioReader PickChannels(this IAudioReader reader, IReadOnlyList<int> channelIndexes)
    {
        if (channelIndexes.Count is 0 or > AudioFormat.MostChannels)
            throw Fault.Usage($"One to {AudioFormat.MostChannels} channels can be picked, not {channelIndexes.Count}.");
        foreach (var index in channelIndexes)
            if (index < 0 || index >= reader.Format.ChannelCount)
                throw Fault.Usage(
                    $"Channel {index + 1} is asked for, and \"{Path.GetFileName(reader.Path)}\" has {Words.Count(reader.Format.ChannelCount, "channel")}."
                );
        return new PickedReader(reader, channelIndexes);
    }

    /// <summary>Reads one channel.</summary>
    /// <param name="reader">The file.</param>
    /// <param name="channelIndex">Counted from 0.</param>
    /// <param name="startFrame">The first frame wanted.</param>
    /// <param name="samples">Receives one sample a frame.</param>
    /// <returns>Frames read.</returns>
    public static int ReadChannel(this IAudioReader reader, int channelIndex, long startFrame, Span<float> samples)
    {
        var channelCount = reader.Format.ChannelCount;
        ArgumentOutOfRangeException.ThrowIfNegative(channelIndex);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(channelIndex, channelCount);
        const int blockFrames = 4096;
        var block = ArrayPool<float>.Shared.Rent(blockFrames * channelCount);
        try
        {
            var done = 0;
            while (done < samples.Length)
            {
                var count = reader.Read(startFrame + done, block.AsSpan(0, Math.Min(blockFrames, samples.Length - done) * channelCount));
                if (count == 0)
                    break;
                for (var i = 0; i < count; i++)
                    samples[done + i] = block[i * channelCount + channelIndex];
                done += count;
            }
            return done;
        }
        finally
        {
            ArrayPool<float>.Shared.Return(block);
        }
    }

    /// <summary>Reads every channel into an array of its own.</summary>
    /// <param name="reader">The file.</param>
    /// <param name="startFrame">The first frame wanted.</param>
    /// <param name="frameCount">The most frames wanted; each array holds at least as many.</param>
    /// <param name="channels">One array for each channel of the file.</param>
    /// <returns>Frames read.</returns>
    public static int ReadChannels(this IAudioReader reader, long startFrame, int frameCount, float[][] channels)
    {
        var channelCount = reader.Format.ChannelCount;
        if (channels.Length != channelCount)
            throw new ArgumentException(
                $"The file has {channelCount} channels, and there are arrays for {channels.Length}.",
                nameof(channels)
            );
        const int blockFrames = 4096;
        var block = ArrayPool<float>.Shared.Rent(blockFrames * channelCount);
        try
        {
            var done = 0;
            while (done < frameCount)
            {
                var count = reader.Read(startFrame + done, block.AsSpan(0, Math.Min(blockFrames, frameCount - done) * channelCount));
                if (count == 0)
                    break;
                for (var channel = 0; channel < channelCount; channel++)
                {
                    var target = channels[channel].AsSpan(done, count);
                    for (var i = 0; i < count; i++)
                        target[i] = block[i * channelCount + channel];
                }
                done += count;
            }
            return done;
        }
        finally
        {
            ArrayPool<float>.Shared.Return(block);
        }
    }
}
