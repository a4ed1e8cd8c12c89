using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

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
    // Kernels up to this length keep the padded window of an edge on the stack; wider ones, for speeds beyond 6, borrow it.
    private const int StackWindow = 1024;

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
        var window = new InputWindow(input, inputStartFrame, kernel);
        Span<float> padded = stackalloc float[StackWindow];
        for (var i = 0; i < output.Length; i++)
        {
            var position = positionsFrames[i];
            output[i] = bandwidth >= 1 && IsIdentityAt(positionsFrames, i) ? window.FrameAt(position) : window.ValueAt(position, padded);
        }
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
    public static void RenderFixed(
        ReadOnlySpan<float> input,
        long inputStartFrame,
        double firstPositionFrames,
        double stepFrames,
        Span<float> output,
        long firstOutputFrame = 0
    )
    {
        var kernel = BandLadder.ForStep(stepFrames);
        var window = new InputWindow(input, inputStartFrame, kernel);
        var isIdentity = Math.Abs(stepFrames) == 1 && Math.Floor(firstPositionFrames) == firstPositionFrames;
        Span<float> padded = stackalloc float[StackWindow];
        for (var i = 0; i < output.Length; i++)
        {
            var position = firstPositionFrames + (firstOutputFrame + i) * stepFrames;
            output[i] = isIdentity ? window.FrameAt(position) : window.ValueAt(position, padded);
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

    private readonly ref struct InputWindow(ReadOnlySpan<float> input, long inputStartFrame, RetimerKernel kernel)
    {
        private readonly ReadOnlySpan<float> _input = input;

        public float FrameAt(double position)
        {
            var index = position - inputStartFrame;
            return index >= 0 && index < _input.Length ? _input[(int)index] : 0;
        }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public float ValueAt(double position, Span<float> padded)
        {
            var whole = Math.Floor(position);
            var start = whole - inputStartFrame - kernel.TapsBefore;
            if (start >= 0 && start <= _input.Length - kernel.TapCount)
                return kernel.Apply(ref Unsafe.Add(ref MemoryMarshal.GetReference(_input), (int)start), position - whole);
            return ValueAtEdge(start, position - whole, padded);
        }

        // The window with silence where there is no input: the same sums in the same order as inside, so edges do not depend on how
        // much input was handed over.
        private float ValueAtEdge(double start, double fraction, Span<float> padded)
        {
            if (!double.IsFinite(start))
                throw new ArgumentOutOfRangeException(nameof(start), start, "Every position must be a finite number.");
            if (start <= -kernel.TapCount || start >= _input.Length)
                return 0;
            var borrowed = kernel.TapCount > padded.Length ? System.Buffers.ArrayPool<float>.Shared.Rent(kernel.TapCount) : null;
            var whole = (borrowed ?? padded)[..kernel.TapCount];
            whole.Clear();
            var from = Math.Max(0, (int)start);
            var to = Math.Min(_input.Length, (int)start + kernel.TapCount);
            _input[from..to].CopyTo(whole[(from - (int)start)..]);
            var value = kernel.Apply(ref MemoryMarshal.GetReference(whole), fraction);
            if (borrowed is not null)
                System.Buffers.ArrayPool<float>.Shared.Return(borrowed);
            return value;
        }
    }
}
