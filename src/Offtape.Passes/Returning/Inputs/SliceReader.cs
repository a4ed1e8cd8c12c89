using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Passes.Inputs;

/// <summary>A stretch of some channels of another reader, at a gain: a source as it stands in a send, when its own file is gone.</summary>
internal sealed class SliceReader : IAudioReader
{
    private readonly IAudioReader _inner;
    private readonly long _firstFrame;
    private readonly double _gainLinear;

    internal SliceReader(IAudioReader inner, long firstFrame, long frameCount, double gainLinear)
    {
        (_inner, _firstFrame, _gainLinear) = (inner, firstFrame, gainLinear);
        FrameCount = Math.Min(frameCount, inner.FrameCount - firstFrame);
    }

    public string Path => _inner.Path;

    public AudioContainer Container => _inner.Container;

    public AudioFormat Format => _inner.Format;

    public long FrameCount { get; }

    public AudioMetadata Metadata => AudioMetadata.Empty;

    public IReadOnlyList<Notice> Notices => _inner.Notices;

    public int Read(long startFrame, Span<float> interleaved)
    {
        var read = _inner.Read(_firstFrame + startFrame, Bounded(interleaved, startFrame));
        foreach (ref var value in interleaved[..(read * Format.ChannelCount)])
            value = (float)(value * _gainLinear);
        return read;
    }

    public int ReadExact(long startFrame, Span<double> interleaved)
    {
        var read = _inner.ReadExact(_firstFrame + startFrame, Bounded(interleaved, startFrame));
        foreach (ref var value in interleaved[..(read * Format.ChannelCount)])
            value *= _gainLinear;
        return read;
    }

    private Span<T> Bounded<T>(Span<T> span, long startFrame)
    {
        var frames = Math.Clamp(FrameCount - startFrame, 0, span.Length / Format.ChannelCount);
        return span[..(int)(frames * Format.ChannelCount)];
    }

    public void Dispose() => _inner.Dispose();
}
