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

    // 1.5·2^52: a whole number below 2^31 added to it stands in the low 32 bits of the sum, as an int.
    private const double ToLowBits = 6755399441055744.0;

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Render(
        RetimerKernel kernel,
        ReadOnlySpan<float> input,
        long inputStartFrame,
        ReadOnlySpan<double> positionsFrames,
        Span<float> output
    )
    {
        Span<double> windows = stackalloc double[Capacity];
        Span<double> intervals = stackalloc double[Capacity];
        Span<double> places = stackalloc double[Capacity];
        var allInside = Locate(
            kernel,
            inputStartFrame + kernel.TapsBefore,
            input.Length - kernel.TapCount,
            positionsFrames,
            windows,
            intervals,
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
        SortByInterval(windows, intervals, places, ends, sorted);
        Sum(kernel, input, sorted, ends, output);
    }

    // For each position: where its window begins in the input, its interval (both ready to be read as int), its place in the interval.
    // False if any window reaches beyond the input.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static bool Locate(
        RetimerKernel kernel,
        double windowOffset,
        double lastStart,
        ReadOnlySpan<double> positions,
        Span<double> windows,
        Span<double> intervals,
        Span<double> places
    )
    {
        double intervalCount = kernel.IntervalCount;
        var inside = Vector256<double>.AllBitsSet;
        ref var from = ref MemoryMarshal.GetReference(positions);
        ref var toWindow = ref MemoryMarshal.GetReference(windows);
        ref var toInterval = ref MemoryMarshal.GetReference(intervals);
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
            (start + Vector256.Create(ToLowBits)).StoreUnsafe(ref toWindow, (nuint)i);
            (interval + Vector256.Create(ToLowBits)).StoreUnsafe(ref toInterval, (nuint)i);
            (scaled - interval - Vector256.Create(0.5)).StoreUnsafe(ref toPlace, (nuint)i);
        }
        return inside.ExtractMostSignificantBits() == 0b1111;
    }

    // The last one to three positions, filled up with copies of the last.
    private static Vector256<double> LastFew(ReadOnlySpan<double> rest) =>
        Vector256.Create(rest[0], rest[Math.Min(1, rest.Length - 1)], rest[Math.Min(2, rest.Length - 1)], rest[^1]);

    // A counting sort in four streams, a quarter of the readings each: neighbours often fall in one interval, and one count would have
    // to wait for the other. On return ends[k·Streams + Streams − 1] is where the readings of interval k end.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void SortByInterval(
        ReadOnlySpan<double> windows,
        ReadOnlySpan<double> intervals,
        ReadOnlySpan<double> places,
        Span<int> ends,
        Span<Reading> sorted
    )
    {
        ends.Clear();
        ref var end = ref MemoryMarshal.GetReference(ends);
        var quarter = sorted.Length / Streams;
        for (var i = 0; i < quarter; i++)
        {
            Slot(ref end, intervals[i], 0)++;
            Slot(ref end, intervals[i + quarter], 1)++;
            Slot(ref end, intervals[i + 2 * quarter], 2)++;
            Slot(ref end, intervals[i + 3 * quarter], 3)++;
        }
        for (var i = Streams * quarter; i < sorted.Length; i++)
            Slot(ref end, intervals[i], 0)++;
        var sum = 0;
        for (var k = 0; k < ends.Length; k++)
            (ends[k], sum) = (sum, sum + ends[k]);
        ref var target = ref MemoryMarshal.GetReference(sorted);
        for (var i = 0; i < quarter; i++)
        {
            Put(i, 0, ref end, ref target, windows, intervals, places);
            Put(i + quarter, 1, ref end, ref target, windows, intervals, places);
            Put(i + 2 * quarter, 2, ref end, ref target, windows, intervals, places);
            Put(i + 3 * quarter, 3, ref end, ref target, windows, intervals, places);
        }
        for (var i = Streams * quarter; i < sorted.Length; i++)
            Put(i, 0, ref end, ref target, windows, intervals, places);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Put(
        int i,
        int stream,
        ref int end,
        ref Reading target,
        ReadOnlySpan<double> windows,
        ReadOnlySpan<double> intervals,
        ReadOnlySpan<double> places
    )
    {
        var interval = intervals[i];
        ref var slot = ref Slot(ref end, interval, stream);
        Unsafe.Add(ref target, slot) = new Reading(LowBits(windows[i]), LowBits(interval), (float)places[i], i);
        slot++;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ref int Slot(ref int ends, double interval, int stream) =>
        ref Unsafe.Add(ref ends, LowBits(interval) * Streams + stream);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static int LowBits(double whole) => (int)BitConverter.DoubleToInt64Bits(whole);

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
        var taps = (nuint)kernel.TapCount;
        for (var i = 0; i < sorted.Length; )
        {
            var end = ends[sorted[i].Interval * Streams + Streams - 1];
            ref var row = ref kernel.Row(sorted[i].Interval);
            for (; i + 4 <= end; i += 4)
            {
                if (Vector512.IsHardwareAccelerated)
                    TapSums.Four512(ref start, sorted.Slice(i, 4), ref row, taps, output);
                else
                    TapSums.Four256(ref start, sorted.Slice(i, 4), ref row, taps, output);
            }
            for (; i < end; i++)
                output[sorted[i].Index] = One(ref Unsafe.Add(ref start, sorted[i].Window), ref row, taps, sorted[i].Place);
        }
    }

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
            output[i] = One(ref window, ref kernel.Row(interval), (nuint)taps, place);
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
    private static float One(ref float window, ref float row, nuint taps, float place) =>
        Vector512.IsHardwareAccelerated
            ? TapSums.One512(ref window, ref row, taps, place)
            : TapSums.One256(ref window, ref row, taps, place);

    /// <summary>One output to be made.</summary>
    /// <param name="Window">Where its window begins in the input.</param>
    /// <param name="Interval">Its row of taps.</param>
    /// <param name="Place">The place within the row's interval, −1/2 to 1/2.</param>
    /// <param name="Index">Where the result goes.</param>
    internal readonly record struct Reading(int Window, int Interval, float Place, int Index);
}
