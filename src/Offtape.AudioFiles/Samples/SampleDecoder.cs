using System.Buffers.Binary;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

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
                for (var i = 0; i < samples.Length; i++)
                    samples[i] = (layout.HasSignedBytes ? (sbyte)bytes[i] : bytes[i] - 128) * From8;
                break;
            case SampleEncoding.Pcm16:
                Pcm16ToFloat(bytes, layout.IsBigEndian, samples);
                break;
            case SampleEncoding.Pcm24:
                Pcm24ToFloat(bytes, layout.IsBigEndian, samples);
                break;
            case SampleEncoding.Pcm32:
                Pcm32ToFloat(bytes, layout.IsBigEndian, samples);
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

    /// <summary>Whether any value is NaN or infinite: its exponent is all ones, so that without its sign it is at least infinity (IEEE 754).</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static bool HasNonFinite(ReadOnlySpan<float> samples)
    {
        const int infinity = 0x7F80_0000;
        const int withoutSign = 0x7FFF_FFFF;
        var bits = MemoryMarshal.Cast<float, int>(samples);
        ref var start = ref MemoryMarshal.GetReference(bits);
        var i = 0;
        var mask = Vector512.Create(withoutSign);
        // Four maxima, so that one need not wait for the other.
        var (a, b, c, d) = (Vector512<int>.Zero, Vector512<int>.Zero, Vector512<int>.Zero, Vector512<int>.Zero);
        for (; i <= bits.Length - 64; i += 64)
        {
            a = Vector512.Max(a, Vector512.LoadUnsafe(ref start, (nuint)i) & mask);
            b = Vector512.Max(b, Vector512.LoadUnsafe(ref start, (nuint)(i + 16)) & mask);
            c = Vector512.Max(c, Vector512.LoadUnsafe(ref start, (nuint)(i + 32)) & mask);
            d = Vector512.Max(d, Vector512.LoadUnsafe(ref start, (nuint)(i + 48)) & mask);
        }
        if (Vector512.GreaterThanOrEqualAny(Vector512.Max(Vector512.Max(a, b), Vector512.Max(c, d)), Vector512.Create(infinity)))
            return true;
        for (; i < bits.Length; i++)
            if ((bits[i] & withoutSign) >= infinity)
                return true;
        return false;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Pcm16ToFloat(ReadOnlySpan<byte> bytes, bool isBigEndian, Span<float> samples)
    {
        var i = 0;
        if (BitConverter.IsLittleEndian && !isBigEndian)
        {
            ref var source = ref Unsafe.As<byte, short>(ref MemoryMarshal.GetReference(bytes));
            ref var target = ref MemoryMarshal.GetReference(samples);
            for (; i <= samples.Length - 32; i += 32)
            {
                var (low, high) = Vector512.Widen(Vector512.LoadUnsafe(ref source, (nuint)i));
                (Vector512.ConvertToSingle(low) * From16).StoreUnsafe(ref target, (nuint)i);
                (Vector512.ConvertToSingle(high) * From16).StoreUnsafe(ref target, (nuint)(i + 16));
            }
        }
        for (; i < samples.Length; i++)
            samples[i] = Int16(bytes[(2 * i)..], isBigEndian) * From16;
    }

    // Each sample goes to the upper three bytes of an integer: its sign is then in place, and 24 bits fit a float exactly. A vector loads
    // more bytes than it uses, so the last few samples are left to the plain loop.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Pcm24ToFloat(ReadOnlySpan<byte> bytes, bool isBigEndian, Span<float> samples)
    {
        var i = 0;
        ref var source = ref MemoryMarshal.GetReference(bytes);
        ref var target = ref MemoryMarshal.GetReference(samples);
        if (BitConverter.IsLittleEndian && Avx512Vbmi.IsSupported)
        {
            var order = Order24(isBigEndian);
            for (; 3 * i + 64 <= bytes.Length; i += 16)
            {
                var spread = Avx512Vbmi.PermuteVar64x8(Vector512.LoadUnsafe(ref source, (nuint)(3 * i)), order) & Upper24;
                (Vector512.ConvertToSingle(spread.AsInt32()) * From32).StoreUnsafe(ref target, (nuint)i);
            }
        }
        if (BitConverter.IsLittleEndian && Vector128.IsHardwareAccelerated)
        {
            var order = Order24(isBigEndian).GetLower().GetLower();
            var upper = Upper24.GetLower().GetLower();
            for (; 3 * i + 28 <= bytes.Length; i += 8)
            {
                var first = Vector128.Shuffle(Vector128.LoadUnsafe(ref source, (nuint)(3 * i)), order) & upper;
                var second = Vector128.Shuffle(Vector128.LoadUnsafe(ref source, (nuint)(3 * i + 12)), order) & upper;
                (Vector128.ConvertToSingle(first.AsInt32()) * From32).StoreUnsafe(ref target, (nuint)i);
                (Vector128.ConvertToSingle(second.AsInt32()) * From32).StoreUnsafe(ref target, (nuint)(i + 4));
            }
        }
        for (; i < samples.Length; i++)
            samples[i] = TopInt24(bytes[(3 * i)..], isBigEndian) * From32;
    }

    private static Vector512<byte> Upper24 => Vector512.Create(0xFFFF_FF00).AsByte();

    /// <summary>For each byte of sixteen integers, the byte of the file it comes from; the lowest of each is masked away afterwards.</summary>
    private static Vector512<byte> Order24(bool isBigEndian)
    {
        Span<byte> order = stackalloc byte[64];
        for (var sample = 0; sample < 16; sample++)
        for (var at = 1; at < 4; at++)
            order[4 * sample + at] = (byte)(3 * sample + (isBigEndian ? 3 - at : at - 1));
        return Vector512.Create<byte>(order);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Pcm32ToFloat(ReadOnlySpan<byte> bytes, bool isBigEndian, Span<float> samples)
    {
        var i = 0;
        if (BitConverter.IsLittleEndian && !isBigEndian)
        {
            ref var source = ref Unsafe.As<byte, int>(ref MemoryMarshal.GetReference(bytes));
            ref var target = ref MemoryMarshal.GetReference(samples);
            for (; i <= samples.Length - 16; i += 16)
                (Vector512.ConvertToSingle(Vector512.LoadUnsafe(ref source, (nuint)i)) * From32).StoreUnsafe(ref target, (nuint)i);
        }
        for (; i < samples.Length; i++)
            samples[i] = Int32(bytes[(4 * i)..], isBigEndian) * From32;
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
