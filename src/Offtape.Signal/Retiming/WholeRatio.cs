using System.Buffers;
using System.Runtime.InteropServices;

namespace Offtape.Signal;

/// <summary>
/// The fixed-rate reading of steps that are a ratio of small whole numbers, p/q (44.1 to 48 kHz is 147/160): only q different sets of
/// taps occur, so each is made once and used for many outputs. Output n stands at first + (n mod q)·p/q + (n div q)·p, the last term
/// exact in whole frames.
/// </summary>
/// <remarks>
/// Outputs of one phase lie p input frames apart and are summed across lanes: lane l holds outputs l·S to l·S + S − 1 of the phase, and
/// the input is laid out to match (<see cref="LaneInput"/>), once for all phases. Every sum then has one order, whatever its lane.
/// </remarks>
internal static class WholeRatio
{
    // More sets than this would be made more often than used.
    private const int MostPhases = 512;

    // A longer stride than this would need too much input at once.
    private const int LongestStride = 2048;

    // An odd number of phases leaves one without a partner. Below this it is worth counting every phase twice.
    private const int FewPhases = 16;

    // Frames from one lane to the next: long beside a kernel, which all lanes need besides, yet eight such stretches stay near the
    // processor.
    private const int LaneFrames = 1024;

    /// <summary>Whether a step is, to the last bit of a double, a ratio p/q with q up to 512 and p up to 2048.</summary>
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
            if (k1 > MostPhases || Math.Abs(h1) > LongestStride)
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
        if (!double.IsFinite(firstPositionFrames))
            throw new ArgumentOutOfRangeException(nameof(firstPositionFrames), firstPositionFrames, "A position must be a finite number.");
        if (denominator % 2 == 1 && denominator < FewPhases)
            (numerator, denominator) = (2 * numerator, 2 * denominator);
        var stride = (int)Math.Abs(numerator);
        var farthest = stride / denominator + 1;
        var mostPerLane = Math.Max(PhaseSums.Together, LaneFrames / Math.Max(1, stride) / PhaseSums.Together * PhaseSums.Together);
        var batchFrames = LaneInput.Lanes * mostPerLane * denominator;
        var tapRoom = PhaseTaps.RoomFor(kernel, farthest);
        var rowCount = Rows(kernel, stride, PerLane(Math.Min(output.Length, batchFrames), denominator));
        var scratch = ArrayPool<float>.Shared.Rent(2 * tapRoom + LaneInput.RoomFor(rowCount));
        var a = new PhaseTaps(scratch.AsSpan(0, tapRoom), kernel, farthest);
        var b = new PhaseTaps(scratch.AsSpan(tapRoom, tapRoom), kernel, farthest);
        for (var done = 0; done < output.Length; done += batchFrames)
        {
            var batch = output.Slice(done, Math.Min(batchFrames, output.Length - done));
            var perLane = PerLane(batch.Length, denominator);
            // Read backwards, the last output of a phase has the first window.
            var before = numerator < 0 ? (LaneInput.Lanes * perLane - 1) * numerator : 0;
            var (_, firstStart) = Place(firstOutputFrame + done);
            var lowest = firstStart + before - (numerator < 0 ? stride : 0);
            var lanes = new LaneInput(scratch, 2 * tapRoom, stride * perLane, Rows(kernel, stride, perLane));
            if (!lanes.Fill(input, lowest))
            {
                batch.Clear();
                continue;
            }
            var phaseCount = Math.Min(denominator, batch.Length);
            for (var i = 0; i < phaseCount; i += 2)
            {
                // The last of an odd number is made twice.
                var second = Math.Min(i + 1, phaseCount - 1);
                var (fraction, start) = Place(firstOutputFrame + done + i);
                var (secondFraction, secondStart) = Place(firstOutputFrame + done + second);
                a.Write(kernel, fraction);
                b.Write(kernel, secondFraction);
                PhaseSums.Pair(
                    lanes,
                    new PhaseSums.Phase(a, (int)(start + before - lowest), i),
                    new PhaseSums.Phase(b, (int)(secondStart + before - lowest), second),
                    stride,
                    perLane,
                    batch,
                    denominator,
                    numerator < 0
                );
            }
        }
        ArrayPool<float>.Shared.Return(scratch);

        // The fraction of an output's position, and where its window begins in the input.
        (double Fraction, double Start) Place(long frame)
        {
            var (round, phase) = Math.DivRem(frame, denominator);
            var position = firstPositionFrames + (double)(phase * numerator) / denominator;
            var whole = Math.Floor(position);
            return (position - whole, whole + (round * numerator - inputStartFrame - kernel.TapsBefore));
        }
    }

    private static int PerLane(int outputCount, int denominator)
    {
        var ofPhase = (outputCount + denominator - 1) / denominator;
        var perLane = (ofPhase + LaneInput.Lanes - 1) / LaneInput.Lanes;
        // A few too many together cost less than a few one by one.
        return perLane <= 2 ? perLane : (perLane + PhaseSums.Together - 1) / PhaseSums.Together * PhaseSums.Together;
    }

    // All windows of a lane: those of one phase, and as far again as the phases lie apart.
    private static int Rows(RetimerKernel kernel, int stride, int perLane) => stride * (perLane + 1) + kernel.TapCount + 1;
}
