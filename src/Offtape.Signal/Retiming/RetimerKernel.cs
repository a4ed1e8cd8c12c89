using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Offtape.Signal;

/// <summary>
/// One bandwidth's kernel as a polyphase table. The fraction of a position, 0 to 1, is cut into equal intervals; in each, every tap is a
/// parabola in the place within the interval, through three Chebyshev nodes. A value is then three dot products with the input, joined
/// by the parabola's variable.
/// </summary>
internal sealed class RetimerKernel
{
    // Taps at full bandwidth. With a transition of 0.0955 of the band, Kaiser's formula gives 117.6 dB.
    private const int FullBandTapCount = 160;

    // A parabola through Chebyshev nodes on an interval of width d errs by at most (w·d)^3/192 for a component of w radians per frame:
    // at 0.9 of Nyquist, 1/96 frame wide, -137 dB. A kernel of half the band needs half as many intervals.
    private const int FullBandIntervalCount = 96;

    // Lanes of the widest vector used; rows are whole vectors, on cache-line boundaries.
    private const int Lanes = 16;

    private readonly float[] _table;
    private readonly int _tableStart;

    public RetimerKernel(double bandwidth)
    {
        TapCount = TapCountFor(bandwidth);
        IntervalCount = Math.Max(8, (int)Math.Ceiling(FullBandIntervalCount * bandwidth));
        var length = IntervalCount * 3 * TapCount;
        _table = GC.AllocateUninitializedArray<float>(length + Lanes, pinned: true);
        var address = Marshal.UnsafeAddrOfPinnedArrayElement(_table, 0);
        _tableStart = (int)((64 - address % 64) % 64 / sizeof(float));
        Fill(new KaiserSinc(bandwidth, TapCount / 2.0));
    }

    public int TapCount { get; }

    public int IntervalCount { get; }

    /// <summary>Taps before the whole part of a position: the window of position p begins at floor(p) − this.</summary>
    public int TapsBefore => TapCount / 2 - 1;

    public static int TapCountFor(double bandwidth) => (int)Math.Ceiling(FullBandTapCount / bandwidth / Lanes) * Lanes;

    /// <summary>The kernel applied to TapCount frames from <paramref name="window"/> on, at a fraction in [0, 1).</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public float Apply(ref float window, double fraction)
    {
        ref var row = ref Row(fraction, out var place);
        return Vector512.IsHardwareAccelerated
            ? Apply512(ref window, ref row, (nuint)TapCount, place)
            : Apply256(ref window, ref row, (nuint)TapCount, place);
    }

    /// <summary>Writes the taps for one fraction, TapCount of them.</summary>
    public void WriteTaps(double fraction, Span<float> taps)
    {
        ref var row = ref Row(fraction, out var place);
        var count = (nuint)TapCount;
        ref var to = ref MemoryMarshal.GetReference(taps[..TapCount]);
        var at = Vector256.Create(place);
        for (nuint i = 0; i < count; i += 8)
        {
            var c0 = Vector256.LoadUnsafe(ref row, i);
            var c1 = Vector256.LoadUnsafe(ref row, count + i);
            var c2 = Vector256.LoadUnsafe(ref row, 2 * count + i);
            var value = Vector256.FusedMultiplyAdd(at, Vector256.FusedMultiplyAdd(at, c2, c1), c0);
            value.StoreUnsafe(ref to, i);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private ref float Row(double fraction, out float place)
    {
        var scaled = fraction * IntervalCount;
        // A fraction a hair below 1 may scale to IntervalCount itself.
        var interval = Math.Min((int)scaled, IntervalCount - 1);
        place = (float)(scaled - interval - 0.5);
        return ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(_table), _tableStart + interval * 3 * TapCount);
    }

    private static float Apply512(ref float window, ref float row, nuint count, float place)
    {
        Vector512<float> a0 = default,
            a1 = default,
            a2 = default,
            b0 = default,
            b1 = default,
            b2 = default;
        ref var row1 = ref Unsafe.Add(ref row, count);
        ref var row2 = ref Unsafe.Add(ref row1, count);
        nuint i = 0;
        // Two sets of sums, so that one multiply-add need not wait for the last.
        for (; i + 32 <= count; i += 32)
        {
            var x = Vector512.LoadUnsafe(ref window, i);
            var y = Vector512.LoadUnsafe(ref window, i + 16);
            a0 = Vector512.FusedMultiplyAdd(x, Vector512.LoadUnsafe(ref row, i), a0);
            a1 = Vector512.FusedMultiplyAdd(x, Vector512.LoadUnsafe(ref row1, i), a1);
            a2 = Vector512.FusedMultiplyAdd(x, Vector512.LoadUnsafe(ref row2, i), a2);
            b0 = Vector512.FusedMultiplyAdd(y, Vector512.LoadUnsafe(ref row, i + 16), b0);
            b1 = Vector512.FusedMultiplyAdd(y, Vector512.LoadUnsafe(ref row1, i + 16), b1);
            b2 = Vector512.FusedMultiplyAdd(y, Vector512.LoadUnsafe(ref row2, i + 16), b2);
        }
        if (i < count)
        {
            var x = Vector512.LoadUnsafe(ref window, i);
            a0 = Vector512.FusedMultiplyAdd(x, Vector512.LoadUnsafe(ref row, i), a0);
            a1 = Vector512.FusedMultiplyAdd(x, Vector512.LoadUnsafe(ref row1, i), a1);
            a2 = Vector512.FusedMultiplyAdd(x, Vector512.LoadUnsafe(ref row2, i), a2);
        }
        var at = Vector512.Create(place);
        var sum = Vector512.FusedMultiplyAdd(at, Vector512.FusedMultiplyAdd(at, a2 + b2, a1 + b1), a0 + b0);
        return Vector512.Sum(sum);
    }

    private static float Apply256(ref float window, ref float row, nuint count, float place)
    {
        Vector256<float> a0 = default,
            a1 = default,
            a2 = default,
            b0 = default,
            b1 = default,
            b2 = default;
        ref var row1 = ref Unsafe.Add(ref row, count);
        ref var row2 = ref Unsafe.Add(ref row1, count);
        for (nuint i = 0; i < count; i += 16)
        {
            var x = Vector256.LoadUnsafe(ref window, i);
            var y = Vector256.LoadUnsafe(ref window, i + 8);
            a0 = Vector256.FusedMultiplyAdd(x, Vector256.LoadUnsafe(ref row, i), a0);
            a1 = Vector256.FusedMultiplyAdd(x, Vector256.LoadUnsafe(ref row1, i), a1);
            a2 = Vector256.FusedMultiplyAdd(x, Vector256.LoadUnsafe(ref row2, i), a2);
            b0 = Vector256.FusedMultiplyAdd(y, Vector256.LoadUnsafe(ref row, i + 8), b0);
            b1 = Vector256.FusedMultiplyAdd(y, Vector256.LoadUnsafe(ref row1, i + 8), b1);
            b2 = Vector256.FusedMultiplyAdd(y, Vector256.LoadUnsafe(ref row2, i + 8), b2);
        }
        var at = Vector256.Create(place);
        var sum = Vector256.FusedMultiplyAdd(at, Vector256.FusedMultiplyAdd(at, a2 + b2, a1 + b1), a0 + b0);
        return Vector256.Sum(sum);
    }

    private void Fill(KaiserSinc kernel)
    {
        // Chebyshev nodes of the third degree on [-1/2, 1/2]: 0 and ±√3/4.
        var node = Math.Sqrt(3) / 4;
        for (var interval = 0; interval < IntervalCount; interval++)
        {
            var row = _table.AsSpan(_tableStart + interval * 3 * TapCount, 3 * TapCount);
            for (var tap = 0; tap < TapCount; tap++)
            {
                var middle = kernel.At(tap - TapsBefore - (interval + 0.5) / IntervalCount);
                var below = kernel.At(tap - TapsBefore - (interval + 0.5 - node) / IntervalCount);
                var above = kernel.At(tap - TapsBefore - (interval + 0.5 + node) / IntervalCount);
                row[tap] = (float)middle;
                row[TapCount + tap] = (float)((above - below) / (2 * node));
                row[2 * TapCount + tap] = (float)((above + below - 2 * middle) / (2 * node * node));
            }
        }
    }
}
