using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>Writes uncompressed frames, with the header of a container before them that is set right at the end.</summary>
internal sealed class PcmSink : IAudioSink
{
    private const int BlockBytes = 64 * 1024;

    private readonly PendingFile _file;
    private readonly IContainerLayout _layout;
    private readonly SampleEncoder _encoder;
    private readonly byte[] _block;
    private long _dataByteCount;

    public PcmSink(PendingFile file, IContainerLayout layout, TriangularDither? dither)
    {
        _file = file;
        _layout = layout;
        _encoder = new SampleEncoder(layout.Samples, dither);
        _block = new byte[BlockBytes / layout.Samples.BytesPerSample * layout.Samples.BytesPerSample];
        _file.Stream.Write(layout.Header(0));
    }

    public long ClippedSampleCount => _encoder.ClippedSampleCount;

    public void Write(ReadOnlySpan<float> interleaved)
    {
        var samplesPerBlock = _block.Length / _layout.Samples.BytesPerSample;
        while (!interleaved.IsEmpty)
        {
            var part = interleaved[..Math.Min(samplesPerBlock, interleaved.Length)];
            var bytes = Reserve(part.Length);
            _encoder.FromFloat(part, bytes);
            _file.Stream.Write(bytes);
            interleaved = interleaved[part.Length..];
        }
    }

    public void WriteExact(ReadOnlySpan<double> interleaved)
    {
        var samplesPerBlock = _block.Length / _layout.Samples.BytesPerSample;
        while (!interleaved.IsEmpty)
        {
            var part = interleaved[..Math.Min(samplesPerBlock, interleaved.Length)];
            var bytes = Reserve(part.Length);
            _encoder.FromDouble(part, bytes);
            _file.Stream.Write(bytes);
            interleaved = interleaved[part.Length..];
        }
    }

    public void Finish()
    {
        _file.Stream.Write(_layout.Trailer(_dataByteCount));
        _file.Stream.Position = 0;
        _file.Stream.Write(_layout.Header(_dataByteCount));
    }

    public void Dispose() { }

    private Span<byte> Reserve(int sampleCount)
    {
        var bytes = _block.AsSpan(0, sampleCount * _layout.Samples.BytesPerSample);
        _dataByteCount += bytes.Length;
        if (_dataByteCount > _layout.MostDataBytes)
            throw Fault.Output(
                _file.Path,
                $"this kind of file holds at most {Words.ByteSize(_layout.MostDataBytes)}",
                "Write a WAV, which has no such limit."
            );
        return bytes;
    }
}
