using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Offtape.Signal;

/// <summary>
/// K weighting and energy of interleaved channels, two channels a pass in the lanes of one vector: a recursive filter cannot run faster
/// than its own feedback, but two can run side by side. State and sums in double.
/// </summary>
internal sealed class KWeightedEnergy
{
    // What is smaller is silence, and would slow the arithmetic down when it reaches denormal numbers.
    private const double StateFloor = 1e-100;

    private readonly int _channelCount;
    private readonly BiquadCoefficients _shelf;
    private readonly BiquadCoefficients _highPass;
    private readonly Pair[] _pairs;

    public KWeightedEnergy(int channelCount, double sampleRateHz)
    {
        _channelCount = channelCount;
        (_shelf, _highPass) = KWeighting.Sections(sampleRateHz) is [var shelf, var highPass] ? (shelf, highPass) : default;
        _pairs = new Pair[(channelCount + 1) / 2];
    }

    /// <summary>Filters frames and adds their squares to the running sums.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(ReadOnlySpan<float> interleaved)
    {
        for (var pair = 0; pair < _pairs.Length; pair++)
        {
            if (2 * pair + 1 < _channelCount)
                AddPair(ref _pairs[pair], interleaved, 2 * pair);
            else
                AddSingle(ref _pairs[pair], interleaved, 2 * pair);
        }
    }

    /// <summary>The sum of squares of a channel since the last call of this kind, which starts it anew.</summary>
    public double TakeSumOfSquares(int channelIndex)
    {
        ref var pair = ref _pairs[channelIndex / 2];
        var lane = channelIndex % 2;
        var sum = pair.SumOfSquares.GetElement(lane);
        pair.SumOfSquares = pair.SumOfSquares.WithElement(lane, 0);
        return sum;
    }

    /// <summary>Lets a filter that has rung out come to rest. To be called at fixed places of the signal, whatever the blocks.</summary>
    public void Settle()
    {
        foreach (ref var pair in _pairs.AsSpan())
        {
            var largest = Vector128.Max(
                Vector128.Max(Vector128.Abs(pair.Shelf1), Vector128.Abs(pair.Shelf2)),
                Vector128.Max(Vector128.Abs(pair.HighPass1), Vector128.Abs(pair.HighPass2))
            );
            if (Vector128.LessThanAll(largest, Vector128.Create(StateFloor)))
                pair.Shelf1 = pair.Shelf2 = pair.HighPass1 = pair.HighPass2 = default;
        }
    }

    public void Reset() => Array.Clear(_pairs);

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void AddPair(ref Pair state, ReadOnlySpan<float> interleaved, int channelIndex)
    {
        var stride = _channelCount;
        var (p0, p1, p2, p3, p4) = Broadcast(_shelf);
        var (q0, q1, q2, q3, q4) = Broadcast(_highPass);
        var pair = state;
        ref var first = ref MemoryMarshal.GetReference(interleaved);
        for (var i = channelIndex; i + 1 < interleaved.Length; i += stride)
        {
            ref var at = ref Unsafe.Add(ref first, i);
            Step(ref pair, Vector128.Create(at, (double)Unsafe.Add(ref at, 1)), p0, p1, p2, p3, p4, q0, q1, q2, q3, q4);
        }
        state = pair;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void AddSingle(ref Pair state, ReadOnlySpan<float> interleaved, int channelIndex)
    {
        var stride = _channelCount;
        var (p0, p1, p2, p3, p4) = Broadcast(_shelf);
        var (q0, q1, q2, q3, q4) = Broadcast(_highPass);
        var pair = state;
        for (var i = channelIndex; i < interleaved.Length; i += stride)
            Step(ref pair, Vector128.CreateScalar((double)interleaved[i]), p0, p1, p2, p3, p4, q0, q1, q2, q3, q4);
        state = pair;
    }

    // Direct form II transposed, twice; then the square.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Step(
        ref Pair pair,
        Vector128<double> x,
        Vector128<double> p0,
        Vector128<double> p1,
        Vector128<double> p2,
        Vector128<double> p3,
        Vector128<double> p4,
        Vector128<double> q0,
        Vector128<double> q1,
        Vector128<double> q2,
        Vector128<double> q3,
        Vector128<double> q4
    )
    {
        var y = Vector128.MultiplyAddEstimate(p0, x, pair.Shelf1);
        pair.Shelf1 = Vector128.MultiplyAddEstimate(-p3, y, Vector128.MultiplyAddEstimate(p1, x, pair.Shelf2));
        pair.Shelf2 = Vector128.MultiplyAddEstimate(-p4, y, p2 * x);
        var z = Vector128.MultiplyAddEstimate(q0, y, pair.HighPass1);
        pair.HighPass1 = Vector128.MultiplyAddEstimate(-q3, z, Vector128.MultiplyAddEstimate(q1, y, pair.HighPass2));
        pair.HighPass2 = Vector128.MultiplyAddEstimate(-q4, z, q2 * y);
        pair.SumOfSquares = Vector128.MultiplyAddEstimate(z, z, pair.SumOfSquares);
    }

    private static (Vector128<double>, Vector128<double>, Vector128<double>, Vector128<double>, Vector128<double>) Broadcast(
        BiquadCoefficients c
    ) => (Vector128.Create(c.B0), Vector128.Create(c.B1), Vector128.Create(c.B2), Vector128.Create(c.A1), Vector128.Create(c.A2));

    private struct Pair
    {
        public Vector128<double> Shelf1;
        public Vector128<double> Shelf2;
        public Vector128<double> HighPass1;
        public Vector128<double> HighPass2;
        public Vector128<double> SumOfSquares;
    }
}
