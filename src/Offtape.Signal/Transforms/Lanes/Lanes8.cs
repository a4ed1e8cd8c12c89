using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace Offtape.Signal;

/// <summary>Eight floats: AVX2 with fused multiplication.</summary>
internal readonly struct Lanes8 : ILanes<Vector256<float>>
{
    public static bool IsSupported => Avx2.IsSupported && Fma.IsSupported;

    public static int Width => 8;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<float> Load(ref float source, nuint index) => Vector256.LoadUnsafe(ref source, index);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(Vector256<float> value, ref float target, nuint index) => value.StoreUnsafe(ref target, index);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<float> Broadcast(float value) => Vector256.Create(value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<float> Add(Vector256<float> a, Vector256<float> b) => a + b;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<float> Subtract(Vector256<float> a, Vector256<float> b) => a - b;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<float> Multiply(Vector256<float> a, Vector256<float> b) => a * b;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<float> MultiplyAdd(Vector256<float> a, Vector256<float> b, Vector256<float> c) => Fma.MultiplyAdd(a, b, c);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<float> MultiplySubtract(Vector256<float> a, Vector256<float> b, Vector256<float> c) =>
        Fma.MultiplySubtract(a, b, c);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<float> LoadRepeated(ref float source, nuint index) =>
        Vector256.Create(Vector128.Create(Unsafe.Add(ref source, index)), Vector128.Create(Unsafe.Add(ref source, index + 1)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Vector256<float>, Vector256<float>, Vector256<float>, Vector256<float>) Interleave(
        Vector256<float> a0,
        Vector256<float> a1,
        Vector256<float> a2,
        Vector256<float> a3
    )
    {
        var (low02, high02) = (Avx.UnpackLow(a0, a2), Avx.UnpackHigh(a0, a2));
        var (low13, high13) = (Avx.UnpackLow(a1, a3), Avx.UnpackHigh(a1, a3));
        // Each of these four holds the right groups of four, but those of its two halves stand four groups apart.
        return InterleaveGroups(
            Avx.UnpackLow(low02, low13),
            Avx.UnpackHigh(low02, low13),
            Avx.UnpackLow(high02, high13),
            Avx.UnpackHigh(high02, high13)
        );
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Vector256<float>, Vector256<float>, Vector256<float>, Vector256<float>) InterleaveGroups(
        Vector256<float> a0,
        Vector256<float> a1,
        Vector256<float> a2,
        Vector256<float> a3
    ) => (Avx.Permute2x128(a0, a1, 0x20), Avx.Permute2x128(a2, a3, 0x20), Avx.Permute2x128(a0, a1, 0x31), Avx.Permute2x128(a2, a3, 0x31));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Vector256<float> Even, Vector256<float> Odd) LoadParted(ref float source, nuint index)
    {
        var first = Vector256.LoadUnsafe(ref source, index);
        var second = Vector256.LoadUnsafe(ref source, index + 8);
        // The shuffle works within halves: bringing the low halves together first leaves every lane in its place.
        var low = Avx.Permute2x128(first, second, 0x20);
        var high = Avx.Permute2x128(first, second, 0x31);
        return (Avx.Shuffle(low, high, 0b10_00_10_00), Avx.Shuffle(low, high, 0b11_01_11_01));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void StoreJoined(Vector256<float> even, Vector256<float> odd, ref float target, nuint index)
    {
        var low = Avx.UnpackLow(even, odd);
        var high = Avx.UnpackHigh(even, odd);
        Avx.Permute2x128(low, high, 0x20).StoreUnsafe(ref target, index);
        Avx.Permute2x128(low, high, 0x31).StoreUnsafe(ref target, index + 8);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<float> Reverse(Vector256<float> value) => Avx2.PermuteVar8x32(value, Vector256.Create(7, 6, 5, 4, 3, 2, 1, 0));
}
