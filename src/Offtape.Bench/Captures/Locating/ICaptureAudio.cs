namespace Offtape.Bench;

/// <summary>The audio of a capture, read on demand by any number of threads.</summary>
internal interface ICaptureAudio
{
    int SampleRateHz { get; }

    int ChannelCount { get; }

    long FrameCount { get; }

    /// <summary>Fills the whole span with frames of one channel from a frame on; silence outside the capture.</summary>
    void Read(int channelIndex, long startFrame, Span<float> frames);
}

/// <summary>A capture that lies in memory.</summary>
internal sealed class MemoryAudio(float[][] channels, int sampleRateHz) : ICaptureAudio
{
    public int SampleRateHz => sampleRateHz;

    public int ChannelCount => channels.Length;

    public long FrameCount => channels[0].Length;

    public void Read(int channelIndex, long startFrame, Span<float> frames)
    {
        var channel = channels[channelIndex];
        var from = Math.Clamp(-startFrame, 0, frames.Length);
        var to = Math.Clamp(channel.Length - startFrame, from, frames.Length);
        frames[..(int)from].Clear();
        if (to > from)
            channel.AsSpan((int)(startFrame + from), (int)(to - from)).CopyTo(frames[(int)from..]);
        frames[(int)to..].Clear();
    }
}
