using System.Buffers;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Offtape.Signal;

/// <summary>
/// A batch of positions read from one piece of input. Outputs are worked off in the order of their row of taps, so that each row is
/// fetched once a batch and shared by fours; the order does not change any result.
/// </summary>
internal static class RetimerBatch
{
    /// <summary>The most positions in one call.</summary>
    public const int Capacity = 1024;

    private const int Streams = 4;

    // Kernels up to this length keep the padded window of an edge on the stack; wider ones, for speeds beyond 6, borrow it.
    private const int StackWindow = 1024;

    // Room for the number of an interval beside that of a frame.
    private const int IntervalBits = 7;
    private const int IntervalMask = (1 << IntervalBits) - 1;

    // 1.5·2^52: a whole number below 2^48 added to it stands in the low 48 bits of the sum.
    private const double ToLowBits = 6755399441055744.0;

    [SkipLocalsInit]
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Render(
        RetimerKernel kernel,
        ReadOnlySpan<float> input,
        long inputStartFrame,
        ReadOnlySpan<double> positionsFrames,
        Span<float> output
    )
    {
        Span<double> sources = stackalloc double[Capacity];
        Span<float> places = stackalloc float[Capacity];
        var allInside = Locate(
            kernel,
            inputStartFrame + kernel.TapsBefore,
            input.Length - kernel.TapCount,
            positionsFrames,
            sources,
            places
        );
        if (!allInside)
        {
            RenderWithEdges(kernel, input, inputStartFrame, positionsFrames, output);
            return;
        }
        Span<int> ends = stackalloc int[kernel.IntervalCount * Streams];
        Span<Reading> sorted = stackalloc Reading[Capacity];
        sorted = sorted[..positionsFrames.Length];
        SortByInterval(sources, places, ends, sorted);
        Sum(kernel, input, sorted, ends, output);
    }

    // For each position: where its window begins in the input and its interval (as one whole number, ready to be read as bits), and its
    // place in the interval.
    // False if any window reaches beyond the input.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static bool Locate(
        RetimerKernel kernel,
        double windowOffset,
        double lastStart,
        ReadOnlySpan<double> positions,
        Span<double> sources,
        Span<float> places
    )
    {
        double intervalCount = kernel.IntervalCount;
        var inside = Vector256<double>.AllBitsSet;
        ref var from = ref MemoryMarshal.GetReference(positions);
        ref var toSource = ref MemoryMarshal.GetReference(sources);
        ref var toPlace = ref MemoryMarshal.GetReference(places);
        for (var i = 0; i < positions.Length; i += Vector256<double>.Count)
        {
            var position =
                i + Vector256<double>.Count <= positions.Length ? Vector256.LoadUnsafe(ref from, (nuint)i) : LastFew(positions[i..]);
            var whole = Vector256.Floor(position);
            var start = whole - Vector256.Create(windowOffset);
            inside &= Vector256.GreaterThanOrEqual(start, Vector256<double>.Zero);
            inside &= Vector256.LessThanOrEqual(start, Vector256.Create(lastStart));
            var scaled = (position - whole) * intervalCount;
            // A fraction a hair below 1 may scale to the count itself.
            var interval = Vector256.Min(Vector256.Floor(scaled), Vector256.Create(intervalCount - 1));
            (start * (double)(1 << IntervalBits) + interval + Vector256.Create(ToLowBits)).StoreUnsafe(ref toSource, (nuint)i);
            var place = scaled - interval - Vector256.Create(0.5);
            Vector256.Narrow(place, place).GetLower().StoreUnsafe(ref toPlace, (nuint)i);
        }
        return inside.ExtractMostSignificantBits() == 0b1111;
    }

    // The last one to three positions, filled up with copies of the last.
    private static Vector256<double> LastFew(ReadOnlySpan<double> rest) =>
        Vector256.Create(rest[0], rest[Math.Min(1, rest.Length - 1)], rest[Math.Min(2, rest.Length - 1)], rest[^1]);

    // A counting sort in four streams, a quarter of the readings each: neighbours often fall in one interval, and one count would have
    // to wait for the other. On return ends[k·Streams + Streams − 1] is where the readings of interval k end.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void SortByInterval(ReadOnlySpan<double> sources, ReadOnlySpan<float> places, Span<int> ends, Span<Reading> sorted)
    {
        ends.Clear();
        ref var end = ref MemoryMarshal.GetReference(ends);
        var quarter = sorted.Length / Streams;
        for (var i = 0; i < quarter; i++)
        {
            Slot(ref end, sources[i], 0)++;
            Slot(ref end, sources[i + quarter], 1)++;
            Slot(ref end, sources[i + 2 * quarter], 2)++;
            Slot(ref end, sources[i + 3 * quarter], 3)++;
        }
        for (var i = Streams * quarter; i < sorted.Length; i++)
            Slot(ref end, sources[i], 0)++;
        var sum = 0;
        for (var k = 0; k < ends.Length; k++)
            (ends[k], sum) = (sum, sum + ends[k]);
        ref var target = ref MemoryMarshal.GetReference(sorted);
        for (var i = 0; i < quarter; i++)
        {
            Put(i, 0, ref end, ref target, sources, places);
            Put(i + quarter, 1, ref end, ref target, sources, places);
            Put(i + 2 * quarter, 2, ref end, ref target, sources, places);
            Put(i + 3 * quarter, 3, ref end, ref target, sources, places);
        }
        for (var i = Streams * quarter; i < sorted.Length; i++)
            Put(i, 0, ref end, ref target, sources, places);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Put(int i, int stream, ref int end, ref Reading target, ReadOnlySpan<double> sources, ReadOnlySpan<float> places)
    {
        var source = LowBits(sources[i]);
        ref var slot = ref Slot(ref end, sources[i], stream);
        Unsafe.Add(ref target, slot) = new Reading((int)(source >> IntervalBits), (short)(source & IntervalMask), (short)i, places[i]);
        slot++;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ref int Slot(ref int ends, double source, int stream) =>
        ref Unsafe.Add(ref ends, (int)(LowBits(source) & IntervalMask) * Streams + stream);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static long LowBits(double whole) => BitConverter.DoubleToInt64Bits(whole) & ((1L << 48) - 1);

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Sum(
        RetimerKernel kernel,
        ReadOnlySpan<float> input,
        ReadOnlySpan<Reading> sorted,
        ReadOnlySpan<int> ends,
        Span<float> output
    )
    {
        ref var start = ref MemoryMarshal.GetReference(input);
        var taps = kernel.Extent;
        for (var i = 0; i < sorted.Length; )
        {
            var end = ends[sorted[i].Interval * Streams + Streams - 1];
            ref var row = ref kernel.Row(sorted[i].Interval);
            for (; i + 4 <= end; i += 4)
                Four(ref start, sorted.Slice(i, 4), ref row, taps, output);
            // Three over: four again with the one before, which comes out the same, take less time than three by themselves.
            if (i + 3 == end && i > 0 && sorted[i - 1].Interval == sorted[i].Interval)
            {
                Four(ref start, sorted.Slice(i - 1, 4), ref row, taps, output);
                i = end;
            }
            for (; i < end; i++)
                output[sorted[i].Index] = One(ref Unsafe.Add(ref start, sorted[i].Window), ref row, taps, sorted[i].Place);
        }
    }

    [SkipLocalsInit]
    private static void RenderWithEdges(
        RetimerKernel kernel,
        ReadOnlySpan<float> input,
        long inputStartFrame,
        ReadOnlySpan<double> positionsFrames,
        Span<float> output
    )
    {
        Span<float> onStack = stackalloc float[StackWindow];
        var taps = kernel.TapCount;
        var borrowed = taps > StackWindow ? ArrayPool<float>.Shared.Rent(taps) : null;
        var padded = (borrowed ?? onStack)[..taps];
        for (var i = 0; i < positionsFrames.Length; i++)
        {
            var whole = Math.Floor(positionsFrames[i]);
            var start = whole - (inputStartFrame + kernel.TapsBefore);
            if (!double.IsFinite(start))
                throw new ArgumentOutOfRangeException(nameof(positionsFrames), positionsFrames[i], "A position must be a finite number.");
            if (start <= -taps || start >= input.Length)
            {
                output[i] = 0;
                continue;
            }
            var interval = kernel.IntervalOf(positionsFrames[i] - whole, out var place);
            ref var window = ref MemoryMarshal.GetReference(padded);
            if (start >= 0 && start <= input.Length - taps)
                window = ref Unsafe.Add(ref MemoryMarshal.GetReference(input), (int)start);
            else
                PadWithSilence(input, (int)start, padded);
            output[i] = One(ref window, ref kernel.Row(interval), kernel.Extent, place);
        }
        if (borrowed is not null)
            ArrayPool<float>.Shared.Return(borrowed);
    }

    // The same sums in the same order as inside: what comes out does not depend on how much input was handed over.
    public static void PadWithSilence(ReadOnlySpan<float> input, int start, Span<float> window)
    {
        window.Clear();
        var from = Math.Max(0, start);
        var to = Math.Min(input.Length, start + window.Length);
        input[from..to].CopyTo(window[(from - start)..]);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static float One(ref float window, ref float row, TapSums.Extent taps, float place) =>
        Vector512.IsHardwareAccelerated
            ? TapSums.One512(ref window, ref row, taps, place)
            : TapSums.One256(ref window, ref row, taps, place);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Four(ref float start, ReadOnlySpan<Reading> four, ref float row, TapSums.Extent taps, Span<float> output)
    {
        if (Vector512.IsHardwareAccelerated)
            TapSums.Four512(ref start, four, ref row, taps, output);
        else
            TapSums.Four256(ref start, four, ref row, taps, output);
    }

    /// <summary>One output to be made.</summary>
    /// <param name="Window">Where its window begins in the input.</param>
    /// <param name="Interval">Its row of taps.</param>
    /// <param name="Index">Where the result goes.</param>
    /// <param name="Place">The place within the row's interval, −1/2 to 1/2.</param>
    internal readonly record struct Reading(int Window, short Interval, short Index, float Place);
}
