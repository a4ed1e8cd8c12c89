using System.Buffers.Binary;

namespace Offtape.AudioFiles;

/// <summary>
/// Numbers to stored bytes. Integers of n bits are value · 2^(n−1), rounded to the nearest, ties to even; what does not fit saturates and
/// is counted, NaN becomes 0 and is counted with it. Floating point is stored as it is.
/// </summary>
internal sealed class SampleEncoder
{
    private readonly SampleLayout _layout;
    private readonly TriangularDither? _dither;

    /// <param name="layout">How the samples are to lie.</param>
    /// <param name="dither">Added to floats that are reduced to 8 or 16 bits; null for none.</param>
    public SampleEncoder(SampleLayout layout, TriangularDither? dither)
    {
        _layout = layout;
        _dither = layout.Encoding is SampleEncoding.Pcm8 or SampleEncoding.Pcm16 ? dither : null;
    }

    public long ClippedSampleCount { get; private set; }

    public void FromFloat(ReadOnlySpan<float> samples, Span<byte> bytes)
    {
        if (_layout.Encoding == SampleEncoding.Float32)
        {
            for (var i = 0; i < samples.Length; i++)
                PutSingle(bytes[(4 * i)..], samples[i]);
            return;
        }
        var width = _layout.BytesPerSample;
        for (var i = 0; i < samples.Length; i++)
            Put(bytes[(width * i)..], samples[i], _dither?.Next() ?? 0);
    }

    public void FromDouble(ReadOnlySpan<double> samples, Span<byte> bytes)
    {
        var width = _layout.BytesPerSample;
        for (var i = 0; i < samples.Length; i++)
            Put(bytes[(width * i)..], samples[i], 0);
    }

    private void Put(Span<byte> bytes, double value, double ditherSteps)
    {
        switch (_layout.Encoding)
        {
            case SampleEncoding.Pcm8:
                var byteValue = Quantise(value, ditherSteps, 128);
                bytes[0] = (byte)(_layout.HasSignedBytes ? byteValue : byteValue + 128);
                break;
            case SampleEncoding.Pcm16:
                var shortValue = (short)Quantise(value, ditherSteps, 32_768);
                if (_layout.IsBigEndian)
                    BinaryPrimitives.WriteInt16BigEndian(bytes, shortValue);
                else
                    BinaryPrimitives.WriteInt16LittleEndian(bytes, shortValue);
                break;
            case SampleEncoding.Pcm24:
                var middle = (int)Quantise(value, 0, 8_388_608);
                (bytes[_layout.IsBigEndian ? 2 : 0], bytes[1], bytes[_layout.IsBigEndian ? 0 : 2]) = (
                    (byte)middle,
                    (byte)(middle >> 8),
                    (byte)(middle >> 16)
                );
                break;
            case SampleEncoding.Pcm32:
                var intValue = (int)Quantise(value, 0, 2_147_483_648);
                if (_layout.IsBigEndian)
                    BinaryPrimitives.WriteInt32BigEndian(bytes, intValue);
                else
                    BinaryPrimitives.WriteInt32LittleEndian(bytes, intValue);
                break;
            case SampleEncoding.Float32:
                PutSingle(bytes, (float)value);
                break;
            default:
                if (_layout.IsBigEndian)
                    BinaryPrimitives.WriteDoubleBigEndian(bytes, value);
                else
                    BinaryPrimitives.WriteDoubleLittleEndian(bytes, value);
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

    private long Quantise(double value, double ditherSteps, double scale)
    {
        var steps = Math.Round(value * scale + ditherSteps, MidpointRounding.ToEven);
        if (steps >= -scale && steps <= scale - 1)
            return (long)steps;
        ClippedSampleCount++;
        return double.IsNaN(steps) ? 0 : (long)Math.Clamp(steps, -scale, scale - 1);
    }
}
