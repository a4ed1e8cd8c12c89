using System.Runtime.InteropServices;
using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>Reads uncompressed frames from their place in a file.</summary>
internal sealed class PcmReader : IAudioReader
{
    // Small enough to stay in the cache between the read and the conversion, and out of the heap of large objects; large enough that the
    // calls cost little.
    private const int BlockBytes = 64 * 1024;

    // Floats are read straight to their place and then looked through: within the second-level cache.
    private const int InPlaceBytes = 512 * 1024;

    private readonly FileBytes _file;
    private readonly ParsedAudio _parsed;
    private readonly IReadOnlyList<Notice> _damage;
    private readonly NonFiniteTally _nonFinite;
    private readonly byte[] _block;

    public PcmReader(FileBytes file, ParsedAudio parsed)
    {
        _file = file;
        _parsed = parsed;
        _damage = parsed.Damage.ToNotices();
        _nonFinite = new NonFiniteTally(parsed.Damage.Name);
        _block = new byte[BlockBytes / parsed.Format.BytesPerFrame * parsed.Format.BytesPerFrame];
    }

    public string Path => _file.Path;

    public AudioContainer Container => _parsed.Container;

    public AudioFormat Format => _parsed.Format;

    public long FrameCount => _parsed.FrameCount;

    public AudioMetadata Metadata => _parsed.Metadata;

    public IReadOnlyList<Notice> Notices => _nonFinite.Join(_damage);

    public int Read(long startFrame, Span<float> interleaved)
    {
        var frameCount = FramesFor(startFrame, interleaved.Length);
        var samples = interleaved[..(frameCount * Format.ChannelCount)];
        var offset = OffsetOf(startFrame);
        var isInPlace = BitConverter.IsLittleEndian && _parsed.Layout is { Encoding: SampleEncoding.Float32, IsBigEndian: false };
        var samplesPerBlock = isInPlace ? InPlaceBytes / Format.BytesPerFrame * Format.ChannelCount : _block.Length / Format.BytesPerSample;
        for (var done = 0; done < samples.Length; )
        {
            var part = samples.Slice(done, Math.Min(samplesPerBlock, samples.Length - done));
            var bytes = isInPlace ? MemoryMarshal.AsBytes(part) : _block.AsSpan(0, part.Length * Format.BytesPerSample);
            _file.ReadExactly(offset, bytes);
            if (!isInPlace)
                SampleDecoder.ToFloat(bytes, _parsed.Layout, part);
            if (Format.IsFloat && SampleDecoder.HasNonFinite(part))
                _nonFinite.Silence(part, startFrame + done / Format.ChannelCount, Format.ChannelCount);
            done += part.Length;
            offset += bytes.Length;
        }
        return frameCount;
    }

    public int ReadExact(long startFrame, Span<double> interleaved)
    {
        var frameCount = FramesFor(startFrame, interleaved.Length);
        var samples = interleaved[..(frameCount * Format.ChannelCount)];
        var offset = OffsetOf(startFrame);
        var samplesPerBlock = _block.Length / Format.BytesPerSample;
        for (var done = 0; done < samples.Length; )
        {
            var part = samples.Slice(done, Math.Min(samplesPerBlock, samples.Length - done));
            var bytes = _block.AsSpan(0, part.Length * Format.BytesPerSample);
            _file.ReadExactly(offset, bytes);
            SampleDecoder.ToDouble(bytes, _parsed.Layout, part);
            done += part.Length;
            offset += bytes.Length;
        }
        return frameCount;
    }

    public void Dispose() => _file.Dispose();

    private long OffsetOf(long frame) => _parsed.DataOffset + frame * Format.BytesPerFrame;

    private int FramesFor(long startFrame, int sampleCount)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(startFrame);
        return (int)Math.Clamp(FrameCount - startFrame, 0, sampleCount / Format.ChannelCount);
    }
}
