using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace Offtape.Signal;

/// <summary>
/// The inner loop of the retimer: input times taps, the taps being parabolas c0 + place·(c1 + place·c2). One, or four outputs that share
/// a row of taps (each row then is loaded once for four). Four give the same bits as one at a time: each output has its own sums, added
/// in the same order: first the outermost taps, whose square terms are too small to count, then the rest. (A multiply-add "estimate" is
/// a fused one where the processor has it, else two operations.)
/// </summary>
internal static class TapSums
{
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static float One512(ref float window, ref float row, Extent taps, float place)
    {
        var count = taps.Count;
        ref var row1 = ref Unsafe.Add(ref row, count);
        ref var row2 = ref Unsafe.Add(ref row1, count);
        Vector512<float> s0 = default,
            s1 = default,
            s2 = default;
        for (nuint i = 0; i < count; i += 16)
        {
            if (i == taps.SquareFrom)
            {
                i = taps.SquareTo - 16;
                continue;
            }
            var x = Vector512.LoadUnsafe(ref window, i);
            s0 = Vector512.MultiplyAddEstimate(x, Vector512.LoadUnsafe(ref row, i), s0);
            s1 = Vector512.MultiplyAddEstimate(x, Vector512.LoadUnsafe(ref row1, i), s1);
        }
        for (var i = taps.SquareFrom; i < taps.SquareTo; i += 16)
        {
            var x = Vector512.LoadUnsafe(ref window, i);
            s0 = Vector512.MultiplyAddEstimate(x, Vector512.LoadUnsafe(ref row, i), s0);
            s1 = Vector512.MultiplyAddEstimate(x, Vector512.LoadUnsafe(ref row1, i), s1);
            s2 = Vector512.MultiplyAddEstimate(x, Vector512.LoadUnsafe(ref row2, i), s2);
        }
        return Sum(Join(s0, s1, s2, place));
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Four512(
        ref float inputStart,
        ReadOnlySpan<RetimerBatch.Reading> four,
        ref float row,
        Extent taps,
        Span<float> output
    )
    {
        var count = taps.Count;
        ref var a = ref Unsafe.Add(ref inputStart, four[0].Window);
        ref var b = ref Unsafe.Add(ref inputStart, four[1].Window);
        ref var c = ref Unsafe.Add(ref inputStart, four[2].Window);
        ref var d = ref Unsafe.Add(ref inputStart, four[3].Window);
        ref var row1 = ref Unsafe.Add(ref row, count);
        ref var row2 = ref Unsafe.Add(ref row1, count);
        Vector512<float> a0 = default,
            a1 = default,
            a2 = default;
        Vector512<float> b0 = default,
            b1 = default,
            b2 = default;
        Vector512<float> c0 = default,
            c1 = default,
            c2 = default;
        Vector512<float> d0 = default,
            d1 = default,
            d2 = default;
        for (nuint i = 0; i < count; i += 16)
        {
            if (i == taps.SquareFrom)
            {
                i = taps.SquareTo - 16;
                continue;
            }
            var t0 = Vector512.LoadUnsafe(ref row, i);
            var t1 = Vector512.LoadUnsafe(ref row1, i);
            var x = Vector512.LoadUnsafe(ref a, i);
            a0 = Vector512.MultiplyAddEstimate(x, t0, a0);
            a1 = Vector512.MultiplyAddEstimate(x, t1, a1);
            x = Vector512.LoadUnsafe(ref b, i);
            b0 = Vector512.MultiplyAddEstimate(x, t0, b0);
            b1 = Vector512.MultiplyAddEstimate(x, t1, b1);
            x = Vector512.LoadUnsafe(ref c, i);
            c0 = Vector512.MultiplyAddEstimate(x, t0, c0);
            c1 = Vector512.MultiplyAddEstimate(x, t1, c1);
            x = Vector512.LoadUnsafe(ref d, i);
            d0 = Vector512.MultiplyAddEstimate(x, t0, d0);
            d1 = Vector512.MultiplyAddEstimate(x, t1, d1);
        }
        for (var i = taps.SquareFrom; i < taps.SquareTo; i += 16)
        {
            var t0 = Vector512.LoadUnsafe(ref row, i);
            var t1 = Vector512.LoadUnsafe(ref row1, i);
            var t2 = Vector512.LoadUnsafe(ref row2, i);
            var x = Vector512.LoadUnsafe(ref a, i);
            a0 = Vector512.MultiplyAddEstimate(x, t0, a0);
            a1 = Vector512.MultiplyAddEstimate(x, t1, a1);
            a2 = Vector512.MultiplyAddEstimate(x, t2, a2);
            x = Vector512.LoadUnsafe(ref b, i);
            b0 = Vector512.MultiplyAddEstimate(x, t0, b0);
            b1 = Vector512.MultiplyAddEstimate(x, t1, b1);
            b2 = Vector512.MultiplyAddEstimate(x, t2, b2);
            x = Vector512.LoadUnsafe(ref c, i);
            c0 = Vector512.MultiplyAddEstimate(x, t0, c0);
            c1 = Vector512.MultiplyAddEstimate(x, t1, c1);
            c2 = Vector512.MultiplyAddEstimate(x, t2, c2);
            x = Vector512.LoadUnsafe(ref d, i);
            d0 = Vector512.MultiplyAddEstimate(x, t0, d0);
            d1 = Vector512.MultiplyAddEstimate(x, t1, d1);
            d2 = Vector512.MultiplyAddEstimate(x, t2, d2);
        }
        var sums = SumOfEach(
            Join(a0, a1, a2, four[0].Place),
            Join(b0, b1, b2, four[1].Place),
            Join(c0, c1, c2, four[2].Place),
            Join(d0, d1, d2, four[3].Place)
        );
        output[four[0].Index] = sums[0];
        output[four[1].Index] = sums[1];
        output[four[2].Index] = sums[2];
        output[four[3].Index] = sums[3];
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static float One256(ref float window, ref float row, Extent taps, float place)
    {
        var count = taps.Count;
        ref var row1 = ref Unsafe.Add(ref row, count);
        ref var row2 = ref Unsafe.Add(ref row1, count);
        Vector256<float> s0 = default,
            s1 = default,
            s2 = default;
        for (nuint i = 0; i < count; i += 8)
        {
            if (i == taps.SquareFrom)
            {
                i = taps.SquareTo - 8;
                continue;
            }
            var x = Vector256.LoadUnsafe(ref window, i);
            s0 = Vector256.MultiplyAddEstimate(x, Vector256.LoadUnsafe(ref row, i), s0);
            s1 = Vector256.MultiplyAddEstimate(x, Vector256.LoadUnsafe(ref row1, i), s1);
        }
        for (var i = taps.SquareFrom; i < taps.SquareTo; i += 8)
        {
            var x = Vector256.LoadUnsafe(ref window, i);
            s0 = Vector256.MultiplyAddEstimate(x, Vector256.LoadUnsafe(ref row, i), s0);
            s1 = Vector256.MultiplyAddEstimate(x, Vector256.LoadUnsafe(ref row1, i), s1);
            s2 = Vector256.MultiplyAddEstimate(x, Vector256.LoadUnsafe(ref row2, i), s2);
        }
        return Sum(Join(s0, s1, s2, place));
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Four256(
        ref float inputStart,
        ReadOnlySpan<RetimerBatch.Reading> four,
        ref float row,
        Extent taps,
        Span<float> output
    )
    {
        var count = taps.Count;
        ref var a = ref Unsafe.Add(ref inputStart, four[0].Window);
        ref var b = ref Unsafe.Add(ref inputStart, four[1].Window);
        ref var c = ref Unsafe.Add(ref inputStart, four[2].Window);
        ref var d = ref Unsafe.Add(ref inputStart, four[3].Window);
        ref var row1 = ref Unsafe.Add(ref row, count);
        ref var row2 = ref Unsafe.Add(ref row1, count);
        Vector256<float> a0 = default,
            a1 = default,
            a2 = default;
        Vector256<float> b0 = default,
            b1 = default,
            b2 = default;
        Vector256<float> c0 = default,
            c1 = default,
            c2 = default;
        Vector256<float> d0 = default,
            d1 = default,
            d2 = default;
        for (nuint i = 0; i < count; i += 8)
        {
            if (i == taps.SquareFrom)
            {
                i = taps.SquareTo - 8;
                continue;
            }
            var t0 = Vector256.LoadUnsafe(ref row, i);
            var t1 = Vector256.LoadUnsafe(ref row1, i);
            var x = Vector256.LoadUnsafe(ref a, i);
            a0 = Vector256.MultiplyAddEstimate(x, t0, a0);
            a1 = Vector256.MultiplyAddEstimate(x, t1, a1);
            x = Vector256.LoadUnsafe(ref b, i);
            b0 = Vector256.MultiplyAddEstimate(x, t0, b0);
            b1 = Vector256.MultiplyAddEstimate(x, t1, b1);
            x = Vector256.LoadUnsafe(ref c, i);
            c0 = Vector256.MultiplyAddEstimate(x, t0, c0);
            c1 = Vector256.MultiplyAddEstimate(x, t1, c1);
            x = Vector256.LoadUnsafe(ref d, i);
            d0 = Vector256.MultiplyAddEstimate(x, t0, d0);
            d1 = Vector256.MultiplyAddEstimate(x, t1, d1);
        }
        for (var i = taps.SquareFrom; i < taps.SquareTo; i += 8)
        {
            var t0 = Vector256.LoadUnsafe(ref row, i);
            var t1 = Vector256.LoadUnsafe(ref row1, i);
            var t2 = Vector256.LoadUnsafe(ref row2, i);
            a0 = Vector256.MultiplyAddEstimate(t0, Vector256.LoadUnsafe(ref a, i), a0);
            a1 = Vector256.MultiplyAddEstimate(t1, Vector256.LoadUnsafe(ref a, i), a1);
            a2 = Vector256.MultiplyAddEstimate(t2, Vector256.LoadUnsafe(ref a, i), a2);
            b0 = Vector256.MultiplyAddEstimate(t0, Vector256.LoadUnsafe(ref b, i), b0);
            b1 = Vector256.MultiplyAddEstimate(t1, Vector256.LoadUnsafe(ref b, i), b1);
            b2 = Vector256.MultiplyAddEstimate(t2, Vector256.LoadUnsafe(ref b, i), b2);
            c0 = Vector256.MultiplyAddEstimate(t0, Vector256.LoadUnsafe(ref c, i), c0);
            c1 = Vector256.MultiplyAddEstimate(t1, Vector256.LoadUnsafe(ref c, i), c1);
            c2 = Vector256.MultiplyAddEstimate(t2, Vector256.LoadUnsafe(ref c, i), c2);
            d0 = Vector256.MultiplyAddEstimate(t0, Vector256.LoadUnsafe(ref d, i), d0);
            d1 = Vector256.MultiplyAddEstimate(t1, Vector256.LoadUnsafe(ref d, i), d1);
            d2 = Vector256.MultiplyAddEstimate(t2, Vector256.LoadUnsafe(ref d, i), d2);
        }
        var sums = SumOfEach(
            Join(a0, a1, a2, four[0].Place),
            Join(b0, b1, b2, four[1].Place),
            Join(c0, c1, c2, four[2].Place),
            Join(d0, d1, d2, four[3].Place)
        );
        output[four[0].Index] = sums[0];
        output[four[1].Index] = sums[1];
        output[four[2].Index] = sums[2];
        output[four[3].Index] = sums[3];
    }

    // The parabola, and the lanes of its terms down to four.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector128<float> Join(Vector512<float> s0, Vector512<float> s1, Vector512<float> s2, float place)
    {
        var at = Vector512.Create(place);
        var joined = Vector512.MultiplyAddEstimate(at, Vector512.MultiplyAddEstimate(at, s2, s1), s0);
        var half = joined.GetLower() + joined.GetUpper();
        return half.GetLower() + half.GetUpper();
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector128<float> Join(Vector256<float> s0, Vector256<float> s1, Vector256<float> s2, float place)
    {
        var at = Vector256.Create(place);
        var joined = Vector256.MultiplyAddEstimate(at, Vector256.MultiplyAddEstimate(at, s2, s1), s0);
        return joined.GetLower() + joined.GetUpper();
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static float Sum(Vector128<float> lanes) => lanes[0] + lanes[2] + (lanes[1] + lanes[3]);

    // The same additions for four at a time.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector128<float> SumOfEach(Vector128<float> a, Vector128<float> b, Vector128<float> c, Vector128<float> d)
    {
        if (!Sse.IsSupported)
            return Vector128.Create(Sum(a), Sum(b), Sum(c), Sum(d));
        var ab = Sse.UnpackLow(a, b) + Sse.UnpackHigh(a, b);
        var cd = Sse.UnpackLow(c, d) + Sse.UnpackHigh(c, d);
        return Sse.MoveLowToHigh(ab, cd) + Sse.MoveHighToLow(cd, ab);
    }

    /// <summary>How many taps there are, whole vectors of them.</summary>
    /// <param name="Count">All taps.</param>
    /// <param name="SquareFrom">The first whose square term counts.</param>
    /// <param name="SquareTo">The first after those; equal where none does.</param>
    internal readonly record struct Extent(nuint Count, nuint SquareFrom, nuint SquareTo);
}
