using System.Collections.Concurrent;
using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Bench;

/// <summary>A capture in a file. Every thread that reads at one time has a reader of its own.</summary>
internal sealed class FileAudio : ICaptureAudio, IDisposable
{
    private readonly string _path;
    private readonly ConcurrentBag<IAudioReader> _readers = [];

    /// <exception cref="Fault">It cannot be read.</exception>
    internal FileAudio(string path)
    {
        _path = path;
        var reader = AudioFile.Open(path);
        (SampleRateHz, ChannelCount, FrameCount) = (reader.Format.SampleRateHz, reader.Format.ChannelCount, reader.FrameCount);
        Notices = [.. reader.Notices];
        _readers.Add(reader);
    }

    public int SampleRateHz { get; }

    public int ChannelCount { get; }

    public long FrameCount { get; }

    /// <summary>What was found when it was opened: damage, mostly.</summary>
    internal IReadOnlyList<Notice> Notices { get; }

    public void Read(int channelIndex, long startFrame, Span<float> frames)
    {
        var from = (int)Math.Clamp(-startFrame, 0, frames.Length);
        frames[..from].Clear();
        var reader = Take();
        try
        {
            var isInside = from < frames.Length && startFrame + from < FrameCount;
            var read = isInside ? reader.ReadChannel(channelIndex, startFrame + from, frames[from..]) : 0;
            frames[(from + read)..].Clear();
        }
        finally
        {
            _readers.Add(reader);
        }
    }

    /// <summary>All channels of a stretch, each in an array of its own; shorter where the file ends.</summary>
    internal float[][] ReadAll(long startFrame, int frameCount)
    {
        var channels = new float[ChannelCount][];
        var count = (int)Math.Clamp(FrameCount - startFrame, 0, frameCount);
        for (var c = 0; c < channels.Length; c++)
            channels[c] = new float[count];
        var reader = Take();
        try
        {
            reader.ReadChannels(startFrame, count, channels);
        }
        finally
        {
            _readers.Add(reader);
        }
        return channels;
    }

    public void Dispose()
    {
        while (_readers.TryTake(out var reader))
            reader.Dispose();
    }

    private IAudioReader Take() => _readers.TryTake(out var reader) ? reader : AudioFile.Open(_path);
}
