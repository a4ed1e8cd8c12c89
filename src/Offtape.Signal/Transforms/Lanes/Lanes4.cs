using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.Arm;
using System.Runtime.Intrinsics.X86;

namespace Offtape.Signal;

/// <summary>Four floats: SSE, or NEON on ARM; the general vector type elsewhere.</summary>
internal readonly struct Lanes4 : ILanes<Vector128<float>>
{
    public static bool IsSupported => Vector128.IsHardwareAccelerated;

    public static int Width => 4;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<float> Load(ref float source, nuint index) => Vector128.LoadUnsafe(ref source, index);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(Vector128<float> value, ref float target, nuint index) => value.StoreUnsafe(ref target, index);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<float> Broadcast(float value) => Vector128.Create(value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<float> Add(Vector128<float> a, Vector128<float> b) => a + b;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<float> Subtract(Vector128<float> a, Vector128<float> b) => a - b;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<float> Multiply(Vector128<float> a, Vector128<float> b) => a * b;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<float> MultiplyAdd(Vector128<float> a, Vector128<float> b, Vector128<float> c) =>
        Vector128.MultiplyAddEstimate(a, b, c);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<float> MultiplySubtract(Vector128<float> a, Vector128<float> b, Vector128<float> c) =>
        Fma.IsSupported ? Fma.MultiplySubtract(a, b, c) : Vector128.MultiplyAddEstimate(a, b, -c);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<float> LoadRepeated(ref float source, nuint index) => Vector128.Create(Unsafe.Add(ref source, index));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Vector128<float>, Vector128<float>, Vector128<float>, Vector128<float>) Interleave(
        Vector128<float> a0,
        Vector128<float> a1,
        Vector128<float> a2,
        Vector128<float> a3
    )
    {
        var (low02, high02) = (ZipLow(a0, a2), ZipHigh(a0, a2));
        var (low13, high13) = (ZipLow(a1, a3), ZipHigh(a1, a3));
        return (ZipLow(low02, low13), ZipHigh(low02, low13), ZipLow(high02, high13), ZipHigh(high02, high13));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Vector128<float>, Vector128<float>, Vector128<float>, Vector128<float>) InterleaveGroups(
        Vector128<float> a0,
        Vector128<float> a1,
        Vector128<float> a2,
        Vector128<float> a3
    ) => (a0, a1, a2, a3);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Vector128<float> Even, Vector128<float> Odd) LoadParted(ref float source, nuint index)
    {
        var first = Vector128.LoadUnsafe(ref source, index);
        var second = Vector128.LoadUnsafe(ref source, index + 4);
        if (Sse.IsSupported)
            return (Sse.Shuffle(first, second, 0b10_00_10_00), Sse.Shuffle(first, second, 0b11_01_11_01));
        if (AdvSimd.Arm64.IsSupported)
            return (AdvSimd.Arm64.UnzipEven(first, second), AdvSimd.Arm64.UnzipOdd(first, second));
        return (Vector128.Create(first[0], first[2], second[0], second[2]), Vector128.Create(first[1], first[3], second[1], second[3]));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void StoreJoined(Vector128<float> even, Vector128<float> odd, ref float target, nuint index)
    {
        ZipLow(even, odd).StoreUnsafe(ref target, index);
        ZipHigh(even, odd).StoreUnsafe(ref target, index + 4);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<float> Reverse(Vector128<float> value) => Vector128.Shuffle(value, Vector128.Create(3, 2, 1, 0));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector128<float> ZipLow(Vector128<float> a, Vector128<float> b)
    {
        if (Sse.IsSupported)
            return Sse.UnpackLow(a, b);
        if (AdvSimd.Arm64.IsSupported)
            return AdvSimd.Arm64.ZipLow(a, b);
        return Vector128.Create(a[0], b[0], a[1], b[1]);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector128<float> ZipHigh(Vector128<float> a, Vector128<float> b)
    {
        if (Sse.IsSupported)
            return Sse.UnpackHigh(a, b);
        if (AdvSimd.Arm64.IsSupported)
            return AdvSimd.Arm64.ZipHigh(a, b);
        return Vector128.Create(a[2], b[2], a[3], b[3]);
    }
}
