using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace Offtape.Signal;

/// <summary>Sixteen floats: AVX-512.</summary>
internal readonly struct Lanes16 : ILanes<Vector512<float>>
{
    public static bool IsSupported => Avx512F.IsSupported && Avx512F.VL.IsSupported;

    public static int Width => 16;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector512<float> Load(ref float source, nuint index) => Vector512.LoadUnsafe(ref source, index);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(Vector512<float> value, ref float target, nuint index) => value.StoreUnsafe(ref target, index);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector512<float> Broadcast(float value) => Vector512.Create(value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector512<float> Add(Vector512<float> a, Vector512<float> b) => a + b;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector512<float> Subtract(Vector512<float> a, Vector512<float> b) => a - b;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector512<float> Multiply(Vector512<float> a, Vector512<float> b) => a * b;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector512<float> MultiplyAdd(Vector512<float> a, Vector512<float> b, Vector512<float> c) =>
        Avx512F.FusedMultiplyAdd(a, b, c);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector512<float> MultiplySubtract(Vector512<float> a, Vector512<float> b, Vector512<float> c) =>
        Avx512F.FusedMultiplySubtract(a, b, c);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector512<float> LoadRepeated(ref float source, nuint index) =>
        Avx512F.PermuteVar16x32(
            Vector128.LoadUnsafe(ref source, index).ToVector256Unsafe().ToVector512Unsafe(),
            Vector512.Create(0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3)
        );

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Vector512<float>, Vector512<float>, Vector512<float>, Vector512<float>) Interleave(
        Vector512<float> a0,
        Vector512<float> a1,
        Vector512<float> a2,
        Vector512<float> a3
    )
    {
        var (low02, high02) = (Avx512F.UnpackLow(a0, a2), Avx512F.UnpackHigh(a0, a2));
        var (low13, high13) = (Avx512F.UnpackLow(a1, a3), Avx512F.UnpackHigh(a1, a3));
        return InterleaveGroups(
            Avx512F.UnpackLow(low02, low13),
            Avx512F.UnpackHigh(low02, low13),
            Avx512F.UnpackLow(high02, high13),
            Avx512F.UnpackHigh(high02, high13)
        );
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Vector512<float>, Vector512<float>, Vector512<float>, Vector512<float>) InterleaveGroups(
        Vector512<float> a0,
        Vector512<float> a1,
        Vector512<float> a2,
        Vector512<float> a3
    )
    {
        // Groups 0 and 2, then 1 and 3, of each pair; then once more.
        var even01 = Avx512F.Shuffle4x128(a0, a1, 0b10_00_10_00);
        var odd01 = Avx512F.Shuffle4x128(a0, a1, 0b11_01_11_01);
        var even23 = Avx512F.Shuffle4x128(a2, a3, 0b10_00_10_00);
        var odd23 = Avx512F.Shuffle4x128(a2, a3, 0b11_01_11_01);
        return (
            Avx512F.Shuffle4x128(even01, even23, 0b10_00_10_00),
            Avx512F.Shuffle4x128(odd01, odd23, 0b10_00_10_00),
            Avx512F.Shuffle4x128(even01, even23, 0b11_01_11_01),
            Avx512F.Shuffle4x128(odd01, odd23, 0b11_01_11_01)
        );
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Vector512<float> Even, Vector512<float> Odd) LoadParted(ref float source, nuint index)
    {
        var first = Vector512.LoadUnsafe(ref source, index);
        var second = Vector512.LoadUnsafe(ref source, index + 16);
        return (
            Avx512F.PermuteVar16x32x2(first, Vector512.Create(0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30), second),
            Avx512F.PermuteVar16x32x2(first, Vector512.Create(1, 3, 5, 7, 9, 11, 13, 15, 17, 19, 21, 23, 25, 27, 29, 31), second)
        );
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void StoreJoined(Vector512<float> even, Vector512<float> odd, ref float target, nuint index)
    {
        Avx512F
            .PermuteVar16x32x2(even, Vector512.Create(0, 16, 1, 17, 2, 18, 3, 19, 4, 20, 5, 21, 6, 22, 7, 23), odd)
            .StoreUnsafe(ref target, index);
        Avx512F
            .PermuteVar16x32x2(even, Vector512.Create(8, 24, 9, 25, 10, 26, 11, 27, 12, 28, 13, 29, 14, 30, 15, 31), odd)
            .StoreUnsafe(ref target, index + 16);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector512<float> Reverse(Vector512<float> value) =>
        Avx512F.PermuteVar16x32(value, Vector512.Create(15, 14, 13, 12, 11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1, 0));
}
