using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Offtape.Signal;

/// <summary>
/// The one place where sound is resampled: a variable-rate band-limited interpolator. A position is a time in frames of the input
/// signal; the value there is that of the band-limited signal that runs through the samples, low-passed to the band that both input and
/// output can carry. It has no latency: output frame i is the signal at position i.
/// </summary>
/// <remarks>
/// Error of the result: −120 dB up to 0.8 of the band limit, −100 dB up to 0.9; above 0.9 the kernel rolls off, and from the band limit
/// on nothing passes (−110 dB), so that nothing aliases and no image is left. Stateless: calls may run on several threads, and any
/// division of a signal into calls gives the same samples, if each call is given the input it needs (<see cref="HalfWidthFrames"/> on
/// either side). The first call for a bandwidth makes its table (some milliseconds); no later call allocates.
/// </remarks>
public static class Retimer
{
    /// <summary>
    /// Frames of input needed on each side of every position for steps of this size: input from floor(lowest position) − this to
    /// floor(highest position) + this is enough.
    /// </summary>
    public static int HalfWidthFrames(double stepFrames) => HalfWidthFramesForBandwidth(BandLadder.BandwidthForStep(stepFrames));

    /// <summary>As <see cref="HalfWidthFrames"/>, for the bandwidth given to <see cref="Render"/>.</summary>
    public static int HalfWidthFramesForBandwidth(double bandwidth) => BandLadder.TapCountFor(bandwidth) / 2;

    /// <summary>The bandwidth that <see cref="Render"/> needs where the largest step between positions is this: min(1, 1/|step|).</summary>
    public static double BandwidthForStep(double stepFrames) => BandLadder.BandwidthForStep(stepFrames);

    /// <summary>The signal at each of the given positions.</summary>
    /// <param name="input">One channel of the signal, from frame <paramref name="inputStartFrame"/> on. Frames outside count as silence.</param>
    /// <param name="inputStartFrame">The frame of the signal that input[0] is.</param>
    /// <param name="positionsFrames">Where to read, in frames of the signal (0 = frame 0), in any order, finite.</param>
    /// <param name="bandwidth">
    /// The band limit as a share of the input's Nyquist frequency, 1/64 to 1: min(1, 1/|largest step between positions|).
    /// </param>
    /// <param name="output">As many frames as there are positions; must not overlap the input.</param>
    /// <exception cref="ArgumentException">Output and positions differ in length, or a position is not a number.</exception>
    /// <remarks>
    /// At full bandwidth, positions that are whole frames exactly one apart (either way) copy those frames bit for bit.
    /// </remarks>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Render(
        ReadOnlySpan<float> input,
        long inputStartFrame,
        ReadOnlySpan<double> positionsFrames,
        double bandwidth,
        Span<float> output
    )
    {
        if (output.Length != positionsFrames.Length)
            throw new ArgumentException("There must be as many output frames as positions.", nameof(output));
        var kernel = BandLadder.ForBandwidth(bandwidth);
        for (var done = 0; done < output.Length; done += RetimerBatch.Capacity)
        {
            var count = Math.Min(RetimerBatch.Capacity, output.Length - done);
            RetimerBatch.Render(kernel, input, inputStartFrame, positionsFrames.Slice(done, count), output.Slice(done, count));
        }
        if (bandwidth < 1)
            return;
        for (var i = 0; i < output.Length; i++)
            if (IsIdentityAt(positionsFrames, i))
                output[i] = FrameAt(input, inputStartFrame, positionsFrames[i]);
    }

    /// <summary>
    /// The signal at position firstPositionFrames + (firstOutputFrame + i) · stepFrames for each output frame i: one multiplication,
    /// nothing accumulated. Band limit min(1, 1/|step|) of the input's Nyquist frequency. A negative step reads backwards.
    /// </summary>
    /// <param name="input">One channel of the signal, from frame <paramref name="inputStartFrame"/> on. Frames outside count as silence.</param>
    /// <param name="inputStartFrame">The frame of the signal that input[0] is.</param>
    /// <param name="firstPositionFrames">The position of output frame 0, in frames of the signal.</param>
    /// <param name="stepFrames">Input frames per output frame, −64 to 64. At ±1 with a whole first position the frames are copied.</param>
    /// <param name="output">Receives the result; must not overlap the input.</param>
    /// <param name="firstOutputFrame">
    /// The number of output frames made by earlier calls with the same first position and step: blocks then join bit for bit.
    /// </param>
    [SkipLocalsInit]
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void RenderFixed(
        ReadOnlySpan<float> input,
        long inputStartFrame,
        double firstPositionFrames,
        double stepFrames,
        Span<float> output,
        long firstOutputFrame = 0
    )
    {
        if (Math.Abs(stepFrames) == 1 && Math.Floor(firstPositionFrames) == firstPositionFrames)
        {
            for (var i = 0; i < output.Length; i++)
                output[i] = FrameAt(input, inputStartFrame, firstPositionFrames + (firstOutputFrame + i) * stepFrames);
            return;
        }
        var kernel = BandLadder.ForStep(stepFrames);
        if (WholeRatio.TryFind(stepFrames, out var numerator, out var denominator))
        {
            WholeRatio.Render(kernel, input, inputStartFrame, firstPositionFrames, numerator, denominator, output, firstOutputFrame);
            return;
        }
        Span<double> positions = stackalloc double[RetimerBatch.Capacity];
        for (var done = 0; done < output.Length; done += RetimerBatch.Capacity)
        {
            var count = Math.Min(RetimerBatch.Capacity, output.Length - done);
            // Frame numbers are whole and so exact in a double: nothing depends on where blocks begin.
            double firstOfBatch = firstOutputFrame + done;
            var lane = Vector256.Create(0.0, 1, 2, 3);
            for (var i = 0; i < count; i += Vector256<double>.Count)
            {
                var frame = Vector256.Create(firstOfBatch + i) + lane;
                (Vector256.Create(firstPositionFrames) + frame * stepFrames).CopyTo(positions[i..]);
            }
            RetimerBatch.Render(kernel, input, inputStartFrame, positions[..count], output.Slice(done, count));
        }
    }

    // Whole, and exactly one frame from a neighbour. A lone whole position within a moving map is not identity: its neighbours are
    // filtered, and a copy between them would be a step in everything above 0.9 of Nyquist.
    private static bool IsIdentityAt(ReadOnlySpan<double> positions, int i)
    {
        var position = positions[i];
        if (Math.Floor(position) != position)
            return false;
        return i > 0 && Math.Abs(positions[i - 1] - position) == 1
            || i + 1 < positions.Length && Math.Abs(positions[i + 1] - position) == 1;
    }

    private static float FrameAt(ReadOnlySpan<float> input, long inputStartFrame, double positionFrames)
    {
        var index = positionFrames - inputStartFrame;
        return index >= 0 && index < input.Length ? input[(int)index] : 0;
    }
}
