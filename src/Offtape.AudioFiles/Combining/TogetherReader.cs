using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>Several files of one recording, side by side.</summary>
internal sealed class TogetherReader : IAudioReader
{
    private const int BlockFrames = 4096;

    private readonly IReadOnlyList<IAudioReader> _readers;
    private readonly float[] _floats;
    private readonly double[] _doubles;

    public TogetherReader(IReadOnlyList<IAudioReader> readers)
    {
        var first = readers[0];
        foreach (var reader in readers)
            if (reader.Format.SampleRateHz != first.Format.SampleRateHz)
                throw Fault.Input(
                    reader.Path,
                    $"its rate is {reader.Format.SampleRateHz} Hz and that of \"{System.IO.Path.GetFileName(first.Path)}\" is "
                        + $"{first.Format.SampleRateHz} Hz; the files of one recording have one rate"
                );
        var channelCount = readers.Sum(r => r.Format.ChannelCount);
        FormatLimits.CheckChannelCount(first.Path, channelCount, null);
        _readers = readers;
        FrameCount = readers.Max(r => r.FrameCount);
        Format = new AudioFormat(first.Format.SampleRateHz, channelCount, Widest(readers));
        var widest = readers.Max(r => r.Format.ChannelCount);
        _floats = new float[BlockFrames * widest];
        _doubles = new double[BlockFrames * widest];
    }

    public string Path => _readers[0].Path;

    public AudioContainer Container => _readers[0].Container;

    public AudioFormat Format { get; }

    public long FrameCount { get; }

    public AudioMetadata Metadata => _readers[0].Metadata with { ChannelMask = null };

    public IReadOnlyList<Notice> Notices
    {
        get
        {
            var notices = _readers.SelectMany(r => r.Notices).ToList();
            var shorter = _readers.Where(r => r.FrameCount < FrameCount).Select(r => $"\"{System.IO.Path.GetFileName(r.Path)}\"").ToList();
            if (shorter.Count > 0)
                notices.Add(
                    new Notice(
                        "lengths-differ",
                        $"{Words.List(shorter)} {(shorter.Count == 1 ? "is" : "are")} shorter than the longest file of the recording. "
                            + "The missing end is read as silence."
                    )
                );
            return notices;
        }
    }

    public int Read(long startFrame, Span<float> interleaved) =>
        Gather(startFrame, interleaved, _floats, static (r, at, to) => r.Read(at, to));

    public int ReadExact(long startFrame, Span<double> interleaved) =>
        Gather(startFrame, interleaved, _doubles, static (r, at, to) => r.ReadExact(at, to));

    public void Dispose()
    {
        foreach (var reader in _readers)
            reader.Dispose();
    }

    private delegate int ReadPart<T>(IAudioReader reader, long startFrame, Span<T> interleaved);

    private int Gather<T>(long startFrame, Span<T> interleaved, T[] scratch, ReadPart<T> read)
        where T : struct
    {
        ArgumentOutOfRangeException.ThrowIfNegative(startFrame);
        var channelCount = Format.ChannelCount;
        var frameCount = (int)Math.Clamp(FrameCount - startFrame, 0, interleaved.Length / channelCount);
        for (var done = 0; done < frameCount; done += BlockFrames)
        {
            var count = Math.Min(BlockFrames, frameCount - done);
            var block = interleaved.Slice(done * channelCount, count * channelCount);
            var firstChannel = 0;
            foreach (var reader in _readers)
            {
                var own = reader.Format.ChannelCount;
                var part = scratch.AsSpan(0, count * own);
                var present = read(reader, startFrame + done, part) * own;
                part[present..].Clear();
                for (var channel = 0; channel < own; channel++)
                for (var frame = 0; frame < count; frame++)
                    block[frame * channelCount + firstChannel + channel] = part[frame * own + channel];
                firstChannel += own;
            }
        }
        return frameCount;
    }

    // The encoding that holds every file's values exactly.
    private static SampleEncoding Widest(IReadOnlyList<IAudioReader> readers)
    {
        var encodings = readers.Select(r => r.Format.Encoding).Distinct().ToList();
        if (encodings.Count == 1)
            return encodings[0];
        var isInteger = encodings.All(e => e is not (SampleEncoding.Float32 or SampleEncoding.Float64));
        if (isInteger)
            return encodings.Max();
        return encodings.Any(e => e is SampleEncoding.Float64 or SampleEncoding.Pcm32) ? SampleEncoding.Float64 : SampleEncoding.Float32;
    }
}
