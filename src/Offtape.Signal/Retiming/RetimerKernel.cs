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
    // The fewest taps at full bandwidth: with a transition of 0.096 of the band, Kaiser's formula gives 115 dB for them, here and at any
    // bandwidth; rounding up to whole vectors adds to it.
    private const int FullBandTapCount = 156;

    // A parabola through Chebyshev nodes on an interval of width d errs by at most (w·d)^3/192 for a component of w radians per frame:
    // at 0.9 of Nyquist, 1/64 frame wide, -126 dB, at 0.8 -129. A kernel of half the band would need half as many intervals; it has
    // more, as then more of the square terms can be left out, but not as many, as its rows are long.
    private const int FullBandIntervalCount = 64;

    // What the square terms left out may add up to, as a share of the input's peak, at the worst place and for the worst input: a quarter
    // of a float's step at half of full scale. -132 dB, and far less for any sound.
    private const double MostLeftOut = 1 / 4194304.0;

    // Lanes of the widest vector used; rows are whole vectors, on cache-line boundaries.
    private const int Lanes = 16;

    private readonly float[] _table;
    private readonly int _tableStart;

    public RetimerKernel(double bandwidth)
    {
        TapCount = TapCountFor(bandwidth);
        IntervalCount = Math.Max(8, (int)Math.Ceiling(FullBandIntervalCount * Math.Sqrt(bandwidth)));
        _table = GC.AllocateUninitializedArray<float>(IntervalCount * 3 * TapCount + Lanes, pinned: true);
        var address = Marshal.UnsafeAddrOfPinnedArrayElement(_table, 0);
        _tableStart = (int)((64 - address % 64) % 64 / sizeof(float));
        Fill(new KaiserSinc(bandwidth, TapCount / 2.0));
        Extent = FindExtent();
    }

    public int TapCount { get; }

    public int IntervalCount { get; }

    /// <summary>The taps, and which of their square terms count.</summary>
    public TapSums.Extent Extent { get; }

    /// <summary>Taps before the whole part of a position: the window of position p begins at floor(p) − this.</summary>
    public int TapsBefore => TapCount / 2 - 1;

    public static int TapCountFor(double bandwidth) => (int)Math.Ceiling(FullBandTapCount / bandwidth / Lanes) * Lanes;

    /// <summary>The interval that a fraction in [0, 1) falls in, and its place there, −1/2 to 1/2.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public int IntervalOf(double fraction, out float place)
    {
        var scaled = fraction * IntervalCount;
        // A fraction a hair below 1 may scale to IntervalCount itself.
        var interval = Math.Min((int)scaled, IntervalCount - 1);
        place = (float)(scaled - interval - 0.5);
        return interval;
    }

    /// <summary>An interval's taps: TapCount constants, then as many linear terms, then as many square terms.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ref float Row(int interval) =>
        ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(_table), _tableStart + interval * 3 * TapCount);

    /// <summary>Writes the taps of one fraction, TapCount of them.</summary>
    public void WriteTaps(double fraction, Span<float> taps)
    {
        ref var row = ref Row(IntervalOf(fraction, out var place));
        ref var to = ref MemoryMarshal.GetReference(taps[..TapCount]);
        var count = (nuint)TapCount;
        var at = Vector256.Create(place);
        for (nuint i = 0; i < count; i += (nuint)Vector256<float>.Count)
        {
            var slope = Vector256.MultiplyAddEstimate(
                at,
                Vector256.LoadUnsafe(ref row, 2 * count + i),
                Vector256.LoadUnsafe(ref row, count + i)
            );
            Vector256.MultiplyAddEstimate(at, slope, Vector256.LoadUnsafe(ref row, i)).StoreUnsafe(ref to, i);
        }
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

    // Takes whole vectors off either end as long as the square terms there, at the end of their interval (place 1/2, its square 1/4), stay
    // below the limit in every interval.
    private TapSums.Extent FindExtent()
    {
        var from = 0;
        while (2 * (from + Lanes) < TapCount && LargestSquares(from + Lanes) <= MostLeftOut)
            from += Lanes;
        return new TapSums.Extent((nuint)TapCount, (nuint)from, (nuint)(TapCount - from));
    }

    private double LargestSquares(int eitherEnd)
    {
        double largest = 0;
        for (var interval = 0; interval < IntervalCount; interval++)
        {
            var squares = _table.AsSpan(_tableStart + (interval * 3 + 2) * TapCount, TapCount);
            double sum = 0;
            for (var i = 0; i < eitherEnd; i++)
                sum += Math.Abs(squares[i]) + Math.Abs(squares[^(i + 1)]);
            largest = Math.Max(largest, sum / 4);
        }
        return largest;
    }
}
