using System.Runtime.CompilerServices;

namespace Offtape.Signal;

/// <summary>Plain floats: the shortest transforms, and machines without vectors.</summary>
internal readonly struct Lanes1 : ILanes<float>
{
    public static int Width => 1;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static float Load(ref float source, nuint index) => Unsafe.Add(ref source, index);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(float value, ref float target, nuint index) => Unsafe.Add(ref target, index) = value;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static float Broadcast(float value) => value;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static float Add(float a, float b) => a + b;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static float Subtract(float a, float b) => a - b;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static float Multiply(float a, float b) => a * b;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static float MultiplyAdd(float a, float b, float c) => a * b + c;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static float MultiplySubtract(float a, float b, float c) => a * b - c;

    public static float LoadRepeated(ref float source, nuint index) => throw new NotSupportedException();

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (float, float, float, float) Interleave(float a0, float a1, float a2, float a3) => (a0, a1, a2, a3);

    public static (float, float, float, float) InterleaveGroups(float a0, float a1, float a2, float a3) =>
        throw new NotSupportedException();

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (float Even, float Odd) LoadParted(ref float source, nuint index) =>
        (Unsafe.Add(ref source, index), Unsafe.Add(ref source, index + 1));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void StoreJoined(float even, float odd, ref float target, nuint index)
    {
        Unsafe.Add(ref target, index) = even;
        Unsafe.Add(ref target, index + 1) = odd;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static float Reverse(float value) => value;
}
