namespace Offtape.Passes;

/// <summary>Something that sounds for a while in a send. Asked for blocks in order of time; disposed when it has ended.</summary>
internal interface ISendVoice : IDisposable
{
    /// <summary>The frames of the send outside which it is silent.</summary>
    Stretch Sounding { get; }

    /// <summary>Adds its part of a stretch that lies wholly inside <see cref="Sounding"/>.</summary>
    /// <param name="firstFrame">Frame of the send at which the block begins.</param>
    /// <param name="interleaved">The block, every channel of the send.</param>
    /// <param name="channelCount">Channels of the send.</param>
    void MixInto(long firstFrame, Span<float> interleaved, int channelCount);
}
