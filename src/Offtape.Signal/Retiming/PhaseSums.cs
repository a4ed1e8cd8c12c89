using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Offtape.Signal;

/// <summary>
/// The sums of two phases of a whole ratio: eight outputs side by side, one in each lane, and four such groups of both phases at a time,
/// so that a tap is fetched once for 32 outputs and a frame of input once for two phases. Each output is summed from both ends of its
/// window towards the middle, where the large taps are: little is then lost to rounding, as most of it falls on partial sums that are
/// still small.
/// </summary>
internal static class PhaseSums
{
    /// <summary>Outputs of a lane that are worked on together.</summary>
    public const int Together = 4;

    private const int Lanes = LaneInput.Lanes;

    /// <summary>Every `denominator`-th output from each phase's first on; lane l makes those numbered l·perLane on.</summary>
    /// <param name="lanes">The input.</param>
    /// <param name="a">A phase.</param>
    /// <param name="b">Another, its windows no farther off than its taps have zeros.</param>
    /// <param name="stride">Rows from one window of a phase to the next.</param>
    /// <param name="perLane">Outputs of a lane.</param>
    /// <param name="output">Receives the result.</param>
    /// <param name="denominator">Frames of output from one number to the next.</param>
    /// <param name="isBackwards">Whether number 0 is the phase's last output instead of its first (all lanes counted as full).</param>
    public static void Pair(
        LaneInput lanes,
        Phase a,
        Phase b,
        int stride,
        int perLane,
        Span<float> output,
        int denominator,
        bool isBackwards
    )
    {
        if (a.Row > b.Row)
        {
            Pair(lanes, b, a, stride, perLane, output, denominator, isBackwards);
            return;
        }
        Span<float> sums = stackalloc float[2 * Together * Lanes];
        ref var firstSum = ref MemoryMarshal.GetReference(sums);
        var apart = (nuint)(stride * Lanes);
        var half = (nuint)a.Taps.Half;
        // Backwards, number n is output (last − n)·denominator.
        var (origin, step) = isBackwards ? ((Lanes * perLane - 1) * denominator, -denominator) : (0, denominator);
        // Eight outputs in a row are one store.
        var isInARow = Transposition.IsSupported && !isBackwards && denominator == 2 && a.FirstOutput == 0 && b.FirstOutput == 1;
        for (var number = 0; number < perLane; )
        {
            var first = origin + number * step;
            if (number + Together > perLane)
            {
                One(ref lanes.Row(a.Row + number * stride), a.Taps, ref firstSum);
                One(ref lanes.Row(b.Row + number * stride), b.Taps, ref Unsafe.Add(ref firstSum, Lanes));
                Scatter(sums[..(2 * Lanes)], output, first + a.FirstOutput, first + b.FirstOutput, step, perLane);
                number++;
                continue;
            }
            var shift = (nuint)(b.Row - a.Row);
            ref var window = ref lanes.Row(a.Row + number * stride);
            sums.Clear();
            Four(ref window, apart, ref a.Taps.Rising, ref Unsafe.Subtract(ref b.Taps.Rising, shift), 0, 1, half + shift, ref firstSum);
            var last = 2 * half + shift - 1;
            Four(
                ref window,
                apart,
                ref a.Taps.Falling,
                ref Unsafe.Subtract(ref b.Taps.Falling, shift),
                last,
                -1,
                half + shift,
                ref firstSum
            );
            if (isInARow && 2 * Lanes * perLane <= output.Length)
                Transposition.OfEight(ref firstSum, Lanes, ref output[first], (nuint)(2 * perLane));
            else
                Scatter(sums, output, first + a.FirstOutput, first + b.FirstOutput, step, perLane);
            number += Together;
        }
    }

    private static void Scatter(ReadOnlySpan<float> sums, Span<float> output, int firstOfA, int firstOfB, int step, int perLane)
    {
        for (var k = 0; 2 * k * Lanes < sums.Length; k++)
        for (var lane = 0; lane < Lanes; lane++)
        {
            var number = (lane * perLane + k) * step;
            if ((uint)(firstOfA + number) < (uint)output.Length)
                output[firstOfA + number] = sums[2 * k * Lanes + lane];
            if ((uint)(firstOfB + number) < (uint)output.Length)
                output[firstOfB + number] = sums[(2 * k + 1) * Lanes + lane];
        }
    }

    private static void One(ref float window, PhaseTaps taps, ref float sums)
    {
        Vector256<float> rising = default,
            falling = default;
        var half = (nuint)taps.Half;
        ref var low = ref taps.Rising;
        ref var high = ref taps.Falling;
        for (nuint i = 0, j = 2 * half - 1; i < half; i++, j--)
        {
            var tap = Vector256.Create(Unsafe.Add(ref low, i));
            rising = Vector256.MultiplyAddEstimate(tap, Vector256.LoadUnsafe(ref window, i * Lanes), rising);
            tap = Vector256.Create(Unsafe.Add(ref high, j));
            falling = Vector256.MultiplyAddEstimate(tap, Vector256.LoadUnsafe(ref window, j * Lanes), falling);
        }
        (rising + falling).StoreUnsafe(ref sums);
    }

    // Half the window of eight outputs (four of either phase) in each lane, added to the sums. The same bits as one at a time: each has
    // its own sum, added in the same order, and a zero adds nothing.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Four(
        ref float window,
        nuint apart,
        ref float tapsA,
        ref float tapsB,
        nuint from,
        nint direction,
        nuint count,
        ref float sums
    )
    {
        Vector256<float> a0 = default,
            a1 = default,
            a2 = default,
            a3 = default;
        Vector256<float> b0 = default,
            b1 = default,
            b2 = default,
            b3 = default;
        ref var tapA = ref Unsafe.Add(ref tapsA, from);
        ref var tapB = ref Unsafe.Add(ref tapsB, from);
        ref var window0 = ref Unsafe.Add(ref window, from * Lanes);
        ref var window1 = ref Unsafe.Add(ref window0, apart);
        ref var window2 = ref Unsafe.Add(ref window1, apart);
        ref var window3 = ref Unsafe.Add(ref window2, apart);
        nint row = 0;
        for (nint at = 0; count > 0; count--, at += direction, row += Lanes * direction)
        {
            var a = Vector256.Create(Unsafe.Add(ref tapA, at));
            var b = Vector256.Create(Unsafe.Add(ref tapB, at));
            var x = Vector256.LoadUnsafe(ref Unsafe.Add(ref window0, row));
            a0 = Vector256.MultiplyAddEstimate(x, a, a0);
            b0 = Vector256.MultiplyAddEstimate(x, b, b0);
            x = Vector256.LoadUnsafe(ref Unsafe.Add(ref window1, row));
            a1 = Vector256.MultiplyAddEstimate(x, a, a1);
            b1 = Vector256.MultiplyAddEstimate(x, b, b1);
            x = Vector256.LoadUnsafe(ref Unsafe.Add(ref window2, row));
            a2 = Vector256.MultiplyAddEstimate(x, a, a2);
            b2 = Vector256.MultiplyAddEstimate(x, b, b2);
            x = Vector256.LoadUnsafe(ref Unsafe.Add(ref window3, row));
            a3 = Vector256.MultiplyAddEstimate(x, a, a3);
            b3 = Vector256.MultiplyAddEstimate(x, b, b3);
        }
        Add(a0, ref sums);
        Add(b0, ref Unsafe.Add(ref sums, Lanes));
        Add(a1, ref Unsafe.Add(ref sums, 2 * Lanes));
        Add(b1, ref Unsafe.Add(ref sums, 3 * Lanes));
        Add(a2, ref Unsafe.Add(ref sums, 4 * Lanes));
        Add(b2, ref Unsafe.Add(ref sums, 5 * Lanes));
        Add(a3, ref Unsafe.Add(ref sums, 6 * Lanes));
        Add(b3, ref Unsafe.Add(ref sums, 7 * Lanes));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Add(Vector256<float> part, ref float sum) => (Vector256.LoadUnsafe(ref sum) + part).StoreUnsafe(ref sum);

    /// <summary>One phase.</summary>
    /// <param name="taps">Its taps.</param>
    /// <param name="row">The row where the window of number 0 begins.</param>
    /// <param name="firstOutput">The place of its first output.</param>
    internal readonly ref struct Phase(PhaseTaps taps, int row, int firstOutput)
    {
        public PhaseTaps Taps { get; } = taps;

        public int Row { get; } = row;

        public int FirstOutput { get; } = firstOutput;
    }
}
