using System.Buffers.Binary;
using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Offtape.AudioFiles;

/// <summary>Stored bytes to numbers, 1.0 = full scale. Integers of n bits become value ÷ 2^(n−1), as exactly as the target can hold.</summary>
internal static class SampleDecoder
{
    private const float From8 = 1f / 128;
    private const float From16 = 1f / 32_768;
    private const float From32 = 1f / 2_147_483_648f;

    /// <param name="bytes">As many samples as <paramref name="samples"/> holds.</param>
    /// <param name="layout">How they lie.</param>
    /// <param name="samples">Receives the values; those that are not finite stay so.</param>
    public static void ToFloat(ReadOnlySpan<byte> bytes, SampleLayout layout, Span<float> samples)
    {
        bytes = bytes[..(samples.Length * layout.BytesPerSample)];
        switch (layout.Encoding)
        {
            case SampleEncoding.Pcm8:
                var offset = layout.HasSignedBytes ? 0 : 128;
                for (var i = 0; i < samples.Length; i++)
                    samples[i] = (layout.HasSignedBytes ? (sbyte)bytes[i] : bytes[i] - offset) * From8;
                break;
            case SampleEncoding.Pcm16:
                Pcm16ToFloat(bytes, layout.IsBigEndian, samples);
                break;
            case SampleEncoding.Pcm24:
                Pcm24ToFloat(bytes, layout.IsBigEndian, samples);
                break;
            case SampleEncoding.Pcm32:
                for (var i = 0; i < samples.Length; i++)
                    samples[i] = Int32(bytes[(4 * i)..], layout.IsBigEndian) * From32;
                break;
            case SampleEncoding.Float32:
                for (var i = 0; i < samples.Length; i++)
                    samples[i] = Single(bytes[(4 * i)..], layout.IsBigEndian);
                break;
            case SampleEncoding.Float64:
                for (var i = 0; i < samples.Length; i++)
                    samples[i] = (float)Double(bytes[(8 * i)..], layout.IsBigEndian);
                break;
        }
    }

    /// <summary>As <see cref="ToFloat"/>, every value exactly.</summary>
    public static void ToDouble(ReadOnlySpan<byte> bytes, SampleLayout layout, Span<double> samples)
    {
        bytes = bytes[..(samples.Length * layout.BytesPerSample)];
        for (var i = 0; i < samples.Length; i++)
            samples[i] = layout.Encoding switch
            {
                SampleEncoding.Pcm8 => (layout.HasSignedBytes ? (sbyte)bytes[i] : bytes[i] - 128) / 128.0,
                SampleEncoding.Pcm16 => Int16(bytes[(2 * i)..], layout.IsBigEndian) / 32_768.0,
                SampleEncoding.Pcm24 => TopInt24(bytes[(3 * i)..], layout.IsBigEndian) / 2_147_483_648.0,
                SampleEncoding.Pcm32 => Int32(bytes[(4 * i)..], layout.IsBigEndian) / 2_147_483_648.0,
                SampleEncoding.Float32 => Single(bytes[(4 * i)..], layout.IsBigEndian),
                _ => Double(bytes[(8 * i)..], layout.IsBigEndian),
            };
    }

    /// <summary>Whether any value is NaN or infinite: its exponent is all ones (IEEE 754).</summary>
    public static bool HasNonFinite(ReadOnlySpan<float> samples)
    {
        const int exponent = 0x7F80_0000;
        var bits = MemoryMarshal.Cast<float, int>(samples);
        ref var start = ref MemoryMarshal.GetReference(bits);
        var i = 0;
        var step = Vector<int>.Count;
        var mask = new Vector<int>(exponent);
        for (; i <= bits.Length - 4 * step; i += 4 * step)
        {
            ref var at = ref Unsafe.Add(ref start, i);
            var a = Vector.Equals(Vector.LoadUnsafe(ref at) & mask, mask);
            var b = Vector.Equals(Vector.LoadUnsafe(ref at, (nuint)step) & mask, mask);
            var c = Vector.Equals(Vector.LoadUnsafe(ref at, (nuint)(2 * step)) & mask, mask);
            var d = Vector.Equals(Vector.LoadUnsafe(ref at, (nuint)(3 * step)) & mask, mask);
            if (((a | b) | (c | d)) != Vector<int>.Zero)
                return true;
        }
        for (; i < bits.Length; i++)
            if ((bits[i] & exponent) == exponent)
                return true;
        return false;
    }

    private static void Pcm16ToFloat(ReadOnlySpan<byte> bytes, bool isBigEndian, Span<float> samples)
    {
        var i = 0;
        if (Vector256.IsHardwareAccelerated && BitConverter.IsLittleEndian && !isBigEndian)
        {
            ref var source = ref Unsafe.As<byte, short>(ref MemoryMarshal.GetReference(bytes));
            ref var target = ref MemoryMarshal.GetReference(samples);
            for (; i <= samples.Length - 16; i += 16)
            {
                var (low, high) = Vector256.Widen(Vector256.LoadUnsafe(ref source, (nuint)i));
                (Vector256.ConvertToSingle(low) * From16).StoreUnsafe(ref target, (nuint)i);
                (Vector256.ConvertToSingle(high) * From16).StoreUnsafe(ref target, (nuint)(i + 8));
            }
        }
        for (; i < samples.Length; i++)
            samples[i] = Int16(bytes[(2 * i)..], isBigEndian) * From16;
    }

    private static void Pcm24ToFloat(ReadOnlySpan<byte> bytes, bool isBigEndian, Span<float> samples)
    {
        var i = 0;
        if (Vector128.IsHardwareAccelerated && BitConverter.IsLittleEndian)
        {
            ref var source = ref MemoryMarshal.GetReference(bytes);
            ref var target = ref MemoryMarshal.GetReference(samples);
            // Each sample goes to the upper three bytes of an integer: its sign is then in place, and 24 bits fit a float exactly.
            var order = isBigEndian
                ? Vector128.Create((byte)255, 2, 1, 0, 255, 5, 4, 3, 255, 8, 7, 6, 255, 11, 10, 9)
                : Vector128.Create((byte)255, 0, 1, 2, 255, 3, 4, 5, 255, 6, 7, 8, 255, 9, 10, 11);
            // 16 bytes are loaded for the 12 that are used, so the last few samples are left to the loop below.
            for (; i <= samples.Length - 6; i += 4)
            {
                var spread = Vector128.Shuffle(Vector128.LoadUnsafe(ref source, (nuint)(3 * i)), order);
                (Vector128.ConvertToSingle(spread.AsInt32()) * From32).StoreUnsafe(ref target, (nuint)i);
            }
        }
        for (; i < samples.Length; i++)
            samples[i] = TopInt24(bytes[(3 * i)..], isBigEndian) * From32;
    }

    private static short Int16(ReadOnlySpan<byte> bytes, bool isBigEndian) =>
        isBigEndian ? BinaryPrimitives.ReadInt16BigEndian(bytes) : BinaryPrimitives.ReadInt16LittleEndian(bytes);

    /// <summary>A 24-bit sample in the upper three bytes of an integer.</summary>
    private static int TopInt24(ReadOnlySpan<byte> bytes, bool isBigEndian) =>
        isBigEndian ? bytes[0] << 24 | bytes[1] << 16 | bytes[2] << 8 : bytes[2] << 24 | bytes[1] << 16 | bytes[0] << 8;

    private static int Int32(ReadOnlySpan<byte> bytes, bool isBigEndian) =>
        isBigEndian ? BinaryPrimitives.ReadInt32BigEndian(bytes) : BinaryPrimitives.ReadInt32LittleEndian(bytes);

    private static float Single(ReadOnlySpan<byte> bytes, bool isBigEndian) =>
        isBigEndian ? BinaryPrimitives.ReadSingleBigEndian(bytes) : BinaryPrimitives.ReadSingleLittleEndian(bytes);

    private static double Double(ReadOnlySpan<byte> bytes, bool isBigEndian) =>
        isBigEndian ? BinaryPrimitives.ReadDoubleBigEndian(bytes) : BinaryPrimitives.ReadDoubleLittleEndian(bytes);
}
