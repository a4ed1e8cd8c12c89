using System.Buffers.Binary;
using System.Runtime.InteropServices;

namespace Offtape.AudioFiles;

/// <summary>Numbers to stored bytes: integers as <see cref="SampleQuantiser"/> makes them, floating point as it is.</summary>
internal sealed class SampleEncoder
{
    private readonly SampleLayout _layout;
    private readonly SampleQuantiser _quantiser;

    /// <param name="layout">How the samples are to lie.</param>
    /// <param name="dither">Added to floats that are reduced to 8 or 16 bits; null for none.</param>
    public SampleEncoder(SampleLayout layout, TriangularDither? dither)
    {
        _layout = layout;
        _quantiser = new SampleQuantiser(Math.Min(32, 8 * layout.BytesPerSample), dither);
    }

    public long ClippedSampleCount => _quantiser.ClippedSampleCount;

    public void FromFloat(ReadOnlySpan<float> samples, Span<byte> bytes)
    {
        var width = _layout.BytesPerSample;
        if (_layout is { Encoding: SampleEncoding.Float32, IsBigEndian: false } && BitConverter.IsLittleEndian)
            MemoryMarshal.AsBytes(samples).CopyTo(bytes);
        else if (_layout.Encoding == SampleEncoding.Float32)
            for (var i = 0; i < samples.Length; i++)
                PutSingle(bytes[(width * i)..], samples[i]);
        else if (_layout.Encoding == SampleEncoding.Float64)
            for (var i = 0; i < samples.Length; i++)
                PutDouble(bytes[(width * i)..], samples[i]);
        else
            for (var i = 0; i < samples.Length; i++)
                PutInteger(bytes[(width * i)..], _quantiser.FromFloat(samples[i]));
    }

    public void FromDouble(ReadOnlySpan<double> samples, Span<byte> bytes)
    {
        var width = _layout.BytesPerSample;
        if (_layout.Encoding == SampleEncoding.Float32)
            for (var i = 0; i < samples.Length; i++)
                PutSingle(bytes[(width * i)..], (float)samples[i]);
        else if (_layout.Encoding == SampleEncoding.Float64)
            for (var i = 0; i < samples.Length; i++)
                PutDouble(bytes[(width * i)..], samples[i]);
        else
            for (var i = 0; i < samples.Length; i++)
                PutInteger(bytes[(width * i)..], _quantiser.FromDouble(samples[i]));
    }

    private void PutInteger(Span<byte> bytes, int value)
    {
        var isBigEndian = _layout.IsBigEndian;
        switch (_layout.Encoding)
        {
            case SampleEncoding.Pcm8:
                bytes[0] = (byte)(_layout.HasSignedBytes ? value : value + 128);
                break;
            case SampleEncoding.Pcm16 when isBigEndian:
                BinaryPrimitives.WriteInt16BigEndian(bytes, (short)value);
                break;
            case SampleEncoding.Pcm16:
                BinaryPrimitives.WriteInt16LittleEndian(bytes, (short)value);
                break;
            case SampleEncoding.Pcm24:
                bytes[isBigEndian ? 2 : 0] = (byte)value;
                bytes[1] = (byte)(value >> 8);
                bytes[isBigEndian ? 0 : 2] = (byte)(value >> 16);
                break;
            case SampleEncoding.Pcm32 when isBigEndian:
                BinaryPrimitives.WriteInt32BigEndian(bytes, value);
                break;
            default:
                BinaryPrimitives.WriteInt32LittleEndian(bytes, value);
                break;
        }
    }

    private void PutSingle(Span<byte> bytes, float value)
    {
        if (_layout.IsBigEndian)
            BinaryPrimitives.WriteSingleBigEndian(bytes, value);
        else
            BinaryPrimitives.WriteSingleLittleEndian(bytes, value);
    }

    private void PutDouble(Span<byte> bytes, double value)
    {
        if (_layout.IsBigEndian)
            BinaryPrimitives.WriteDoubleBigEndian(bytes, value);
        else
            BinaryPrimitives.WriteDoubleLittleEndian(bytes, value);
    }
}
