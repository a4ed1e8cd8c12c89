using System.Runtime.CompilerServices;

namespace Offtape.Signal;

/// <summary>
/// The passes of a Stockham transform, decimation in frequency. A pass of radix r over sub-transforms of length n, of which s (the stride)
/// stand interleaved: for p below m = n ÷ r and q below s, the values x[q + s(p + km)], k = 0 to r − 1, go through an r-point transform,
/// the k-th result is turned by e^(−2πikp/n), and stored at y[q + s(rp + k)]. What is read is always contiguous over q + sp; what is
/// written is contiguous over q. So a pass is simple where s is a multiple of the vector's width; the first two have bodies of their own.
/// </summary>
internal static class StockhamPasses<T, TLanes>
    where T : struct
    where TLanes : struct, ILanes<T>
{
    /// <summary>Radix 4 at stride 1. The twiddles are six rows of m: cosine and sine for k = 1, 2, 3.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void First4(ref float xRe, ref float xIm, ref float yRe, ref float yIm, ref float twiddles, nuint m)
    {
        for (nuint p = 0; p < m; p += (nuint)TLanes.Width)
        {
            var a0 = Load(ref xRe, ref xIm, p);
            var a1 = Load(ref xRe, ref xIm, p + m);
            var a2 = Load(ref xRe, ref xIm, p + 2 * m);
            var a3 = Load(ref xRe, ref xIm, p + 3 * m);
            FirstButterfly(a0, a1, a2, a3, ref yRe, ref yIm, ref twiddles, p, m);
        }
    }

    /// <summary>The same over real samples read in pairs: even ones as real part, odd ones as imaginary part.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void FirstPaired4(ref float samples, ref float yRe, ref float yIm, ref float twiddles, nuint m)
    {
        for (nuint p = 0; p < m; p += (nuint)TLanes.Width)
        {
            var a0 = TLanes.LoadParted(ref samples, 2 * p);
            var a1 = TLanes.LoadParted(ref samples, 2 * (p + m));
            var a2 = TLanes.LoadParted(ref samples, 2 * (p + 2 * m));
            var a3 = TLanes.LoadParted(ref samples, 2 * (p + 3 * m));
            FirstButterfly(a0, a1, a2, a3, ref yRe, ref yIm, ref twiddles, p, m);
        }
    }

    /// <summary>Radix 4 at stride 4, for widths of 4 and more. The twiddles as for the first pass.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Second4(ref float xRe, ref float xIm, ref float yRe, ref float yIm, ref float twiddles, nuint m)
    {
        var quarter = 4 * m;
        for (nuint i = 0; i < quarter; i += (nuint)TLanes.Width)
        {
            var a0 = Load(ref xRe, ref xIm, i);
            var a1 = Load(ref xRe, ref xIm, i + quarter);
            var a2 = Load(ref xRe, ref xIm, i + 2 * quarter);
            var a3 = Load(ref xRe, ref xIm, i + 3 * quarter);
            var p = i / 4;
            Transform4(ref a0, ref a1, ref a2, ref a3);
            a1 = Turn(a1, TLanes.LoadRepeated(ref twiddles, p), TLanes.LoadRepeated(ref twiddles, p + m));
            a2 = Turn(a2, TLanes.LoadRepeated(ref twiddles, p + 2 * m), TLanes.LoadRepeated(ref twiddles, p + 3 * m));
            a3 = Turn(a3, TLanes.LoadRepeated(ref twiddles, p + 4 * m), TLanes.LoadRepeated(ref twiddles, p + 5 * m));
            var re = TLanes.InterleaveGroups(a0.Re, a1.Re, a2.Re, a3.Re);
            var im = TLanes.InterleaveGroups(a0.Im, a1.Im, a2.Im, a3.Im);
            StoreFour(re, ref yRe, 4 * i);
            StoreFour(im, ref yIm, 4 * i);
        }
    }

    /// <summary>Radix 4, stride a multiple of the width. The twiddles: for each p the cosine and sine for k = 1, 2, 3.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void General4(ref float xRe, ref float xIm, ref float yRe, ref float yIm, ref float twiddles, nuint m, nuint stride)
    {
        var quarter = m * stride;
        for (nuint p = 0; p < m; p++)
        {
            ref var turns = ref Unsafe.Add(ref twiddles, 6 * p);
            var (c1, s1) = (TLanes.Broadcast(turns), TLanes.Broadcast(Unsafe.Add(ref turns, 1)));
            var (c2, s2) = (TLanes.Broadcast(Unsafe.Add(ref turns, 2)), TLanes.Broadcast(Unsafe.Add(ref turns, 3)));
            var (c3, s3) = (TLanes.Broadcast(Unsafe.Add(ref turns, 4)), TLanes.Broadcast(Unsafe.Add(ref turns, 5)));
            var from = p * stride;
            var to = 4 * from;
            for (nuint q = 0; q < stride; q += (nuint)TLanes.Width)
            {
                var a0 = Load(ref xRe, ref xIm, from + q);
                var a1 = Load(ref xRe, ref xIm, from + q + quarter);
                var a2 = Load(ref xRe, ref xIm, from + q + 2 * quarter);
                var a3 = Load(ref xRe, ref xIm, from + q + 3 * quarter);
                Transform4(ref a0, ref a1, ref a2, ref a3);
                Store(a0, ref yRe, ref yIm, to + q);
                Store(Turn(a1, c1, s1), ref yRe, ref yIm, to + q + stride);
                Store(Turn(a2, c2, s2), ref yRe, ref yIm, to + q + 2 * stride);
                Store(Turn(a3, c3, s3), ref yRe, ref yIm, to + q + 3 * stride);
            }
        }
    }

    /// <summary>Radix 8, stride a multiple of the width. The twiddles: for each p the cosine and sine for k = 1 to 7.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void General8(ref float xRe, ref float xIm, ref float yRe, ref float yIm, ref float twiddles, nuint m, nuint stride)
    {
        var eighth = m * stride;
        var diagonal = TLanes.Broadcast(RootHalf);
        for (nuint p = 0; p < m; p++)
        {
            ref var turns = ref Unsafe.Add(ref twiddles, 14 * p);
            var from = p * stride;
            var to = 8 * from;
            for (nuint q = 0; q < stride; q += (nuint)TLanes.Width)
            {
                var a0 = Load(ref xRe, ref xIm, from + q);
                var a1 = Load(ref xRe, ref xIm, from + q + eighth);
                var a2 = Load(ref xRe, ref xIm, from + q + 2 * eighth);
                var a3 = Load(ref xRe, ref xIm, from + q + 3 * eighth);
                var a4 = Load(ref xRe, ref xIm, from + q + 4 * eighth);
                var a5 = Load(ref xRe, ref xIm, from + q + 5 * eighth);
                var a6 = Load(ref xRe, ref xIm, from + q + 6 * eighth);
                var a7 = Load(ref xRe, ref xIm, from + q + 7 * eighth);
                Transform8(ref a0, ref a1, ref a2, ref a3, ref a4, ref a5, ref a6, ref a7, diagonal);
                Store(a0, ref yRe, ref yIm, to + q);
                Store(TurnBy(a1, ref turns, 0), ref yRe, ref yIm, to + q + stride);
                Store(TurnBy(a2, ref turns, 2), ref yRe, ref yIm, to + q + 2 * stride);
                Store(TurnBy(a3, ref turns, 4), ref yRe, ref yIm, to + q + 3 * stride);
                Store(TurnBy(a4, ref turns, 6), ref yRe, ref yIm, to + q + 4 * stride);
                Store(TurnBy(a5, ref turns, 8), ref yRe, ref yIm, to + q + 5 * stride);
                Store(TurnBy(a6, ref turns, 10), ref yRe, ref yIm, to + q + 6 * stride);
                Store(TurnBy(a7, ref turns, 12), ref yRe, ref yIm, to + q + 7 * stride);
            }
        }
    }

    /// <summary>Radix 2, the last pass: nothing to turn. May write over what it reads.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Last2(ref float xRe, ref float xIm, ref float yRe, ref float yIm, nuint stride)
    {
        for (nuint q = 0; q < stride; q += (nuint)TLanes.Width)
        {
            var a0 = Load(ref xRe, ref xIm, q);
            var a1 = Load(ref xRe, ref xIm, q + stride);
            Store(Plus(a0, a1), ref yRe, ref yIm, q);
            Store(Minus(a0, a1), ref yRe, ref yIm, q + stride);
        }
    }

    /// <summary>Radix 4, the last pass: nothing to turn. May write over what it reads.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Last4(ref float xRe, ref float xIm, ref float yRe, ref float yIm, nuint stride)
    {
        for (nuint q = 0; q < stride; q += (nuint)TLanes.Width)
        {
            var a0 = Load(ref xRe, ref xIm, q);
            var a1 = Load(ref xRe, ref xIm, q + stride);
            var a2 = Load(ref xRe, ref xIm, q + 2 * stride);
            var a3 = Load(ref xRe, ref xIm, q + 3 * stride);
            Transform4(ref a0, ref a1, ref a2, ref a3);
            Store(a0, ref yRe, ref yIm, q);
            Store(a1, ref yRe, ref yIm, q + stride);
            Store(a2, ref yRe, ref yIm, q + 2 * stride);
            Store(a3, ref yRe, ref yIm, q + 3 * stride);
        }
    }

    /// <summary>Radix 8, the last pass: nothing to turn. May write over what it reads.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Last8(ref float xRe, ref float xIm, ref float yRe, ref float yIm, nuint stride)
    {
        var diagonal = TLanes.Broadcast(RootHalf);
        for (nuint q = 0; q < stride; q += (nuint)TLanes.Width)
        {
            var a0 = Load(ref xRe, ref xIm, q);
            var a1 = Load(ref xRe, ref xIm, q + stride);
            var a2 = Load(ref xRe, ref xIm, q + 2 * stride);
            var a3 = Load(ref xRe, ref xIm, q + 3 * stride);
            var a4 = Load(ref xRe, ref xIm, q + 4 * stride);
            var a5 = Load(ref xRe, ref xIm, q + 5 * stride);
            var a6 = Load(ref xRe, ref xIm, q + 6 * stride);
            var a7 = Load(ref xRe, ref xIm, q + 7 * stride);
            Transform8(ref a0, ref a1, ref a2, ref a3, ref a4, ref a5, ref a6, ref a7, diagonal);
            Store(a0, ref yRe, ref yIm, q);
            Store(a1, ref yRe, ref yIm, q + stride);
            Store(a2, ref yRe, ref yIm, q + 2 * stride);
            Store(a3, ref yRe, ref yIm, q + 3 * stride);
            Store(a4, ref yRe, ref yIm, q + 4 * stride);
            Store(a5, ref yRe, ref yIm, q + 5 * stride);
            Store(a6, ref yRe, ref yIm, q + 6 * stride);
            Store(a7, ref yRe, ref yIm, q + 7 * stride);
        }
    }

    private const float RootHalf = 0.70710678118654752440f;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void FirstButterfly(
        (T Re, T Im) a0,
        (T Re, T Im) a1,
        (T Re, T Im) a2,
        (T Re, T Im) a3,
        ref float yRe,
        ref float yIm,
        ref float twiddles,
        nuint p,
        nuint m
    )
    {
        Transform4(ref a0, ref a1, ref a2, ref a3);
        a1 = Turn(a1, TLanes.Load(ref twiddles, p), TLanes.Load(ref twiddles, p + m));
        a2 = Turn(a2, TLanes.Load(ref twiddles, p + 2 * m), TLanes.Load(ref twiddles, p + 3 * m));
        a3 = Turn(a3, TLanes.Load(ref twiddles, p + 4 * m), TLanes.Load(ref twiddles, p + 5 * m));
        StoreFour(TLanes.Interleave(a0.Re, a1.Re, a2.Re, a3.Re), ref yRe, 4 * p);
        StoreFour(TLanes.Interleave(a0.Im, a1.Im, a2.Im, a3.Im), ref yIm, 4 * p);
    }

    // Four values to their four-point spectrum: −i turns (re, im) into (im, −re).
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Transform4(ref (T Re, T Im) a0, ref (T Re, T Im) a1, ref (T Re, T Im) a2, ref (T Re, T Im) a3)
    {
        var (sum02, difference02) = (Plus(a0, a2), Minus(a0, a2));
        var (sum13, difference13) = (Plus(a1, a3), Minus(a1, a3));
        a0 = Plus(sum02, sum13);
        a2 = Minus(sum02, sum13);
        a1 = (TLanes.Add(difference02.Re, difference13.Im), TLanes.Subtract(difference02.Im, difference13.Re));
        a3 = (TLanes.Subtract(difference02.Re, difference13.Im), TLanes.Add(difference02.Im, difference13.Re));
    }

    // Eight values to their eight-point spectrum: sums give the even results, differences turned by eighths of a circle the odd ones.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Transform8(
        ref (T Re, T Im) a0,
        ref (T Re, T Im) a1,
        ref (T Re, T Im) a2,
        ref (T Re, T Im) a3,
        ref (T Re, T Im) a4,
        ref (T Re, T Im) a5,
        ref (T Re, T Im) a6,
        ref (T Re, T Im) a7,
        T diagonal
    )
    {
        var (b0, b4) = (Plus(a0, a4), Minus(a0, a4));
        var (b1, b5) = (Plus(a1, a5), Minus(a1, a5));
        var (b2, b6) = (Plus(a2, a6), Minus(a2, a6));
        var (b3, b7) = (Plus(a3, a7), Minus(a3, a7));
        Transform4(ref b0, ref b1, ref b2, ref b3);

        // e^(−iπ/4) = (1 − i)/√2 and e^(−3iπ/4) = (−1 − i)/√2.
        (T Re, T Im) c5 = (TLanes.Multiply(diagonal, TLanes.Add(b5.Re, b5.Im)), TLanes.Multiply(diagonal, TLanes.Subtract(b5.Im, b5.Re)));
        (T Re, T Im) n7 = (TLanes.Multiply(diagonal, TLanes.Subtract(b7.Re, b7.Im)), TLanes.Multiply(diagonal, TLanes.Add(b7.Re, b7.Im)));
        // b6 is turned by −i, and b7 by −(n7.Re', n7.Im'), inside the four-point transform below.
        (T Re, T Im) sum46 = (TLanes.Add(b4.Re, b6.Im), TLanes.Subtract(b4.Im, b6.Re));
        (T Re, T Im) difference46 = (TLanes.Subtract(b4.Re, b6.Im), TLanes.Add(b4.Im, b6.Re));
        (T Re, T Im) sum57 = (TLanes.Subtract(c5.Re, n7.Re), TLanes.Subtract(c5.Im, n7.Im));
        (T Re, T Im) difference57 = (TLanes.Add(c5.Re, n7.Re), TLanes.Add(c5.Im, n7.Im));

        a0 = b0;
        a2 = b1;
        a4 = b2;
        a6 = b3;
        a1 = Plus(sum46, sum57);
        a5 = Minus(sum46, sum57);
        a3 = (TLanes.Add(difference46.Re, difference57.Im), TLanes.Subtract(difference46.Im, difference57.Re));
        a7 = (TLanes.Subtract(difference46.Re, difference57.Im), TLanes.Add(difference46.Im, difference57.Re));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (T Re, T Im) Plus((T Re, T Im) a, (T Re, T Im) b) => (TLanes.Add(a.Re, b.Re), TLanes.Add(a.Im, b.Im));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (T Re, T Im) Minus((T Re, T Im) a, (T Re, T Im) b) => (TLanes.Subtract(a.Re, b.Re), TLanes.Subtract(a.Im, b.Im));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (T Re, T Im) Turn((T Re, T Im) a, T cosine, T sine) =>
        (TLanes.MultiplySubtract(a.Re, cosine, TLanes.Multiply(a.Im, sine)), TLanes.MultiplyAdd(a.Re, sine, TLanes.Multiply(a.Im, cosine)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (T Re, T Im) TurnBy((T Re, T Im) a, ref float turns, nuint index) =>
        Turn(a, TLanes.Broadcast(Unsafe.Add(ref turns, index)), TLanes.Broadcast(Unsafe.Add(ref turns, index + 1)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (T Re, T Im) Load(ref float re, ref float im, nuint index) => (TLanes.Load(ref re, index), TLanes.Load(ref im, index));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Store((T Re, T Im) value, ref float re, ref float im, nuint index)
    {
        TLanes.Store(value.Re, ref re, index);
        TLanes.Store(value.Im, ref im, index);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void StoreFour((T, T, T, T) values, ref float target, nuint index)
    {
        var width = (nuint)TLanes.Width;
        TLanes.Store(values.Item1, ref target, index);
        TLanes.Store(values.Item2, ref target, index + width);
        TLanes.Store(values.Item3, ref target, index + 2 * width);
        TLanes.Store(values.Item4, ref target, index + 3 * width);
    }
}
