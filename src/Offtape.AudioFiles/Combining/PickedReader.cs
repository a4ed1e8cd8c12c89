using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>Some channels of a file, in an order of their own.</summary>
internal sealed class PickedReader : IAudioReader
{
    private const int BlockFrames = 4096;

    private readonly IAudioReader _inner;
    private readonly int[] _channels;
    private readonly float[] _floats;
    private readonly double[] _doubles;

    public PickedReader(IAudioReader inner, IReadOnlyList<int> channelIndexes)
    {
        _inner = inner;
        _channels = [.. channelIndexes];
        Format = inner.Format with { ChannelCount = _channels.Length };
        _floats = new float[BlockFrames * inner.Format.ChannelCount];
        _doubles = new double[BlockFrames * inner.Format.ChannelCount];
    }

    public string Path => _inner.Path;

    public AudioContainer Container => _inner.Container;

    public AudioFormat Format { get; }

    public long FrameCount => _inner.FrameCount;

    public AudioMetadata Metadata => _inner.Metadata with { ChannelMask = null };

    public IReadOnlyList<Notice> Notices => _inner.Notices;

    public int Read(long startFrame, Span<float> interleaved) =>
        Pick(startFrame, interleaved, _floats, static (r, at, to) => r.Read(at, to));

    public int ReadExact(long startFrame, Span<double> interleaved) =>
        Pick(startFrame, interleaved, _doubles, static (r, at, to) => r.ReadExact(at, to));

    public void Dispose() => _inner.Dispose();

    private delegate int ReadPart<T>(IAudioReader reader, long startFrame, Span<T> interleaved);

    private int Pick<T>(long startFrame, Span<T> interleaved, T[] scratch, ReadPart<T> read)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(startFrame);
        var (own, wanted) = (_inner.Format.ChannelCount, _channels.Length);
        var frameCount = (int)Math.Clamp(FrameCount - startFrame, 0, interleaved.Length / wanted);
        for (var done = 0; done < frameCount; done += BlockFrames)
        {
            var count = read(_inner, startFrame + done, scratch.AsSpan(0, Math.Min(BlockFrames, frameCount - done) * own));
            for (var channel = 0; channel < wanted; channel++)
            for (var frame = 0; frame < count; frame++)
                interleaved[(done + frame) * wanted + channel] = scratch[frame * own + _channels[channel]];
        }
        return frameCount;
    }
}
