using System.Runtime.CompilerServices;

namespace Offtape.Signal;

/// <summary>
/// Between the spectrum Z of h complex values, even samples + i·odd samples, and the spectrum X of the 2h real samples. With E and O the
/// spectra of the even and the odd samples, Z[k] = E[k] + i·O[k] and X[k] = E[k] + w^k·O[k], w = e^(−2πi/2h); E and O being those of real
/// samples, Z[h − k]* = E[k] − i·O[k], so that bins k and h − k are worked out together.
/// </summary>
internal static class RealSplit<T, TLanes>
    where T : struct
    where TLanes : struct, ILanes<T>
{
    /// <summary>The tables for both ways: ½·cos and ½·sin of −2πk/2h, k = 0 to h/2, the sines after the cosines.</summary>
    public static float[] HalfTwiddles(int h)
    {
        var count = h / 2 + 1;
        var table = new float[2 * count];
        for (var k = 0; k < count; k++)
        {
            var (sine, cosine) = Math.SinCos(-Math.PI * k / h);
            table[k] = (float)(0.5 * cosine);
            table[count + k] = (float)(0.5 * sine);
        }
        return table;
    }

    /// <summary>Z to X in place; X has one value more.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Split(ref float re, ref float im, ref float twiddles, nuint h)
    {
        var (zRe, zIm) = (re, im);
        re = zRe + zIm;
        im = 0;
        Unsafe.Add(ref re, h) = zRe - zIm;
        Unsafe.Add(ref im, h) = 0;

        var width = (nuint)TLanes.Width;
        ref var sines = ref Unsafe.Add(ref twiddles, h / 2 + 1);
        var half = TLanes.Broadcast(0.5f);
        nuint k = 1;
        // Front k to k + width − 1, back h − k − width + 1 to h − k: as long as they do not meet.
        for (; 2 * (k + width) <= h + 1; k += width)
        {
            var back = h - k - width + 1;
            var (ar, ai) = (TLanes.Load(ref re, k), TLanes.Load(ref im, k));
            var (br, bi) = (TLanes.Reverse(TLanes.Load(ref re, back)), TLanes.Reverse(TLanes.Load(ref im, back)));
            var (c, s) = (TLanes.Load(ref twiddles, k), TLanes.Load(ref sines, k));
            // 2E = a + b*, 2O = −i(a − b*); w^k·O = ½(c + is)·(dIm, −dRe).
            var (eRe, eIm) = (TLanes.Multiply(half, TLanes.Add(ar, br)), TLanes.Multiply(half, TLanes.Subtract(ai, bi)));
            var (dRe, dIm) = (TLanes.Subtract(ar, br), TLanes.Add(ai, bi));
            var oRe = TLanes.MultiplyAdd(c, dIm, TLanes.Multiply(s, dRe));
            var oIm = TLanes.MultiplySubtract(s, dIm, TLanes.Multiply(c, dRe));
            TLanes.Store(TLanes.Add(eRe, oRe), ref re, k);
            TLanes.Store(TLanes.Add(eIm, oIm), ref im, k);
            TLanes.Store(TLanes.Reverse(TLanes.Subtract(eRe, oRe)), ref re, back);
            TLanes.Store(TLanes.Reverse(TLanes.Subtract(oIm, eIm)), ref im, back);
        }
        for (; 2 * k <= h; k++)
        {
            var back = h - k;
            var (ar, ai) = (Unsafe.Add(ref re, k), Unsafe.Add(ref im, k));
            var (br, bi) = (Unsafe.Add(ref re, back), Unsafe.Add(ref im, back));
            var (c, s) = (Unsafe.Add(ref twiddles, k), Unsafe.Add(ref sines, k));
            var (eRe, eIm) = (0.5f * (ar + br), 0.5f * (ai - bi));
            var (dRe, dIm) = (ar - br, ai + bi);
            var (oRe, oIm) = (c * dIm + s * dRe, s * dIm - c * dRe);
            Unsafe.Add(ref re, back) = eRe - oRe;
            Unsafe.Add(ref im, back) = oIm - eIm;
            Unsafe.Add(ref re, k) = eRe + oRe;
            Unsafe.Add(ref im, k) = eIm + oIm;
        }
    }

    /// <summary>
    /// X to Z, divided by h: what the inverse transform of h complex values needs. The imaginary parts of X at 0 and h count as zero.
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Unsplit(ref float xRe, ref float xIm, ref float zRe, ref float zIm, ref float twiddles, nuint h)
    {
        var scaleValue = 1f / h;
        var halfScale = 0.5f * scaleValue;
        var (first, last) = (xRe, Unsafe.Add(ref xRe, h));
        zRe = halfScale * (first + last);
        zIm = halfScale * (first - last);

        var width = (nuint)TLanes.Width;
        ref var sines = ref Unsafe.Add(ref twiddles, h / 2 + 1);
        var half = TLanes.Broadcast(halfScale);
        var scale = TLanes.Broadcast(scaleValue);
        nuint k = 1;
        for (; 2 * (k + width) <= h + 1; k += width)
        {
            var back = h - k - width + 1;
            var (ar, ai) = (TLanes.Load(ref xRe, k), TLanes.Load(ref xIm, k));
            var (br, bi) = (TLanes.Reverse(TLanes.Load(ref xRe, back)), TLanes.Reverse(TLanes.Load(ref xIm, back)));
            var (c, s) = (TLanes.Multiply(scale, TLanes.Load(ref twiddles, k)), TLanes.Multiply(scale, TLanes.Load(ref sines, k)));
            // 2E = a + b*, 2O = w^−k·(a − b*); Z[k] = E + iO, Z[h − k] = (E − iO)*.
            var (eRe, eIm) = (TLanes.Multiply(half, TLanes.Add(ar, br)), TLanes.Multiply(half, TLanes.Subtract(ai, bi)));
            var (dRe, dIm) = (TLanes.Subtract(ar, br), TLanes.Add(ai, bi));
            var oRe = TLanes.MultiplyAdd(c, dRe, TLanes.Multiply(s, dIm));
            var oIm = TLanes.MultiplySubtract(c, dIm, TLanes.Multiply(s, dRe));
            TLanes.Store(TLanes.Subtract(eRe, oIm), ref zRe, k);
            TLanes.Store(TLanes.Add(eIm, oRe), ref zIm, k);
            TLanes.Store(TLanes.Reverse(TLanes.Add(eRe, oIm)), ref zRe, back);
            TLanes.Store(TLanes.Reverse(TLanes.Subtract(oRe, eIm)), ref zIm, back);
        }
        for (; 2 * k <= h; k++)
        {
            var back = h - k;
            var (ar, ai) = (Unsafe.Add(ref xRe, k), Unsafe.Add(ref xIm, k));
            var (br, bi) = (Unsafe.Add(ref xRe, back), Unsafe.Add(ref xIm, back));
            var (c, s) = (scaleValue * Unsafe.Add(ref twiddles, k), scaleValue * Unsafe.Add(ref sines, k));
            var (eRe, eIm) = (halfScale * (ar + br), halfScale * (ai - bi));
            var (dRe, dIm) = (ar - br, ai + bi);
            var (oRe, oIm) = (c * dRe + s * dIm, c * dIm - s * dRe);
            Unsafe.Add(ref zRe, back) = eRe + oIm;
            Unsafe.Add(ref zIm, back) = oRe - eIm;
            Unsafe.Add(ref zRe, k) = eRe - oIm;
            Unsafe.Add(ref zIm, k) = eIm + oRe;
        }
    }

    /// <summary>samples[2n] = re[n], samples[2n + 1] = im[n].</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Join(ref float re, ref float im, ref float samples, nuint h)
    {
        for (nuint n = 0; n < h; n += (nuint)TLanes.Width)
            TLanes.StoreJoined(TLanes.Load(ref re, n), TLanes.Load(ref im, n), ref samples, 2 * n);
    }
}
