using System.Buffers;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Offtape.Signal;

/// <summary>
/// The fixed-rate reading of steps that are a ratio of small whole numbers, p/q (44.1 to 48 kHz is 147/160): only q different sets of
/// taps occur, so each is made once and used for many outputs. Output n stands at first + (n mod q)·p/q + (n div q)·p, the last term
/// exact in whole frames.
/// </summary>
internal static class WholeRatio
{
    // More sets than this would be made more often than used.
    private const int MostPhases = 512;

    // Outputs worked on at once: many for each set of taps, few enough for their input to stay near the processor.
    private const int BatchFrames = 4096;

    private const int Lanes = 8;

    /// <summary>Whether a step is, to the last bit of a double, a ratio p/q with q up to 512.</summary>
    public static bool TryFind(double stepFrames, out long numerator, out int denominator)
    {
        // Continued fraction: the convergents h/k come nearest for their size.
        var (h1, h2, k1, k2) = (1L, 0L, 0L, 1L);
        var rest = stepFrames;
        // A quotient this large would make the next denominator far too large (and could overflow).
        while (Math.Abs(rest) < 1e6)
        {
            var whole = (long)Math.Floor(rest);
            (h1, h2) = (whole * h1 + h2, h1);
            (k1, k2) = (whole * k1 + k2, k1);
            if (k1 > MostPhases)
                break;
            if (Math.Abs((double)h1 / k1 - stepFrames) <= Math.BitIncrement(Math.Abs(stepFrames)) - Math.Abs(stepFrames))
            {
                (numerator, denominator) = (h1, (int)k1);
                return true;
            }
            rest = 1 / (rest - whole);
        }
        (numerator, denominator) = (0, 0);
        return false;
    }

    public static void Render(
        RetimerKernel kernel,
        ReadOnlySpan<float> input,
        long inputStartFrame,
        double firstPositionFrames,
        long numerator,
        int denominator,
        Span<float> output,
        long firstOutputFrame
    )
    {
        // The set of taps and, where the input ends, a window padded with silence.
        var scratch = ArrayPool<float>.Shared.Rent(2 * kernel.TapCount);
        var taps = scratch.AsSpan(0, kernel.TapCount);
        var padded = scratch.AsSpan(kernel.TapCount, kernel.TapCount);
        for (var done = 0; done < output.Length; done += BatchFrames)
        {
            var batch = output.Slice(done, Math.Min(BatchFrames, output.Length - done));
            var firstOfBatch = firstOutputFrame + done;
            for (var i = 0; i < Math.Min(denominator, batch.Length); i++)
            {
                var (round, phase) = Math.DivRem(firstOfBatch + i, denominator);
                var position = firstPositionFrames + (double)(phase * numerator) / denominator;
                var whole = Math.Floor(position);
                kernel.WriteTaps(position - whole, taps);
                var start = whole + (round * numerator - inputStartFrame - kernel.TapsBefore);
                RenderPhase(taps, input, start, numerator, batch[i..], denominator, padded);
            }
        }
        ArrayPool<float>.Shared.Return(scratch);
    }

    // Every denominator-th output; the window of the first begins at `start` in the input, of each further one `numerator` later.
    private static void RenderPhase(
        ReadOnlySpan<float> taps,
        ReadOnlySpan<float> input,
        double start,
        long numerator,
        Span<float> output,
        int denominator,
        Span<float> padded
    )
    {
        ref var inputStart = ref MemoryMarshal.GetReference(input);
        ref var firstTap = ref MemoryMarshal.GetReference(taps);
        double lastStart = input.Length - taps.Length;
        for (var i = 0; i < output.Length; )
        {
            if (i + 3 * denominator < output.Length && Inside(start, lastStart) && Inside(start + 3 * numerator, lastStart))
            {
                Four(
                    ref Unsafe.Add(ref inputStart, (int)start),
                    (nint)numerator,
                    ref firstTap,
                    (nuint)taps.Length,
                    ref output[i],
                    denominator
                );
                i += 4 * denominator;
                start += 4 * numerator;
                continue;
            }
            if (Inside(start, lastStart))
                output[i] = One(ref Unsafe.Add(ref inputStart, (int)start), ref firstTap, (nuint)taps.Length);
            else if (start <= -taps.Length || start >= input.Length)
                output[i] = 0;
            else
            {
                RetimerBatch.PadWithSilence(input, (int)start, padded);
                output[i] = One(ref MemoryMarshal.GetReference(padded), ref firstTap, (nuint)taps.Length);
            }
            i += denominator;
            start += numerator;
        }
    }

    private static bool Inside(double start, double lastStart) => start >= 0 && start <= lastStart;

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static float One(ref float window, ref float taps, nuint count)
    {
        var sum = Vector256<float>.Zero;
        for (nuint i = 0; i < count; i += Lanes)
            sum = Vector256.MultiplyAddEstimate(Vector256.LoadUnsafe(ref taps, i), Vector256.LoadUnsafe(ref window, i), sum);
        return Vector256.Sum(sum);
    }

    // Four at once give the same bits as one: each has its own sum, added in the same order.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Four(ref float window, nint windowStep, ref float taps, nuint count, ref float output, int outputStep)
    {
        Vector256<float> a = default,
            b = default,
            c = default,
            d = default;
        ref var window1 = ref Unsafe.Add(ref window, windowStep);
        ref var window2 = ref Unsafe.Add(ref window1, windowStep);
        ref var window3 = ref Unsafe.Add(ref window2, windowStep);
        for (nuint i = 0; i < count; i += Lanes)
        {
            var tap = Vector256.LoadUnsafe(ref taps, i);
            a = Vector256.MultiplyAddEstimate(tap, Vector256.LoadUnsafe(ref window, i), a);
            b = Vector256.MultiplyAddEstimate(tap, Vector256.LoadUnsafe(ref window1, i), b);
            c = Vector256.MultiplyAddEstimate(tap, Vector256.LoadUnsafe(ref window2, i), c);
            d = Vector256.MultiplyAddEstimate(tap, Vector256.LoadUnsafe(ref window3, i), d);
        }
        output = Vector256.Sum(a);
        Unsafe.Add(ref output, outputStep) = Vector256.Sum(b);
        Unsafe.Add(ref output, 2 * outputStep) = Vector256.Sum(c);
        Unsafe.Add(ref output, 3 * outputStep) = Vector256.Sum(d);
    }
}
