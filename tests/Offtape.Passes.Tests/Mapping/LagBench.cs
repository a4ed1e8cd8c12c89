using Offtape.Passes.Mapping;
using Offtape.Signal;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Mapping;

/// <summary>The parts of one pass of the map over a sound, without files, machine or path: source, capture along the present map, solver.</summary>
internal sealed class LagBench
{
    internal const double RateHz = MapSection.RateHz;

    private readonly float[] _source;

    /// <param name="source">At the mapping rate.</param>
    /// <param name="hissDeviation">Of the white noise that the capture will hold.</param>
    /// <param name="curve">The tape's curve as far as it is known.</param>
    internal LagBench(float[] source, double hissDeviation, TapeCurve curve = default)
    {
        _source = source;
        Shaped = new ShapedSource(source.Length, RateHz);
        Shaped.Bend(source, curve);
        Shaped.Shape(source, MachineResponse.Straight);
        Sweep = new FrameSweep(MapSection.LongWindowFrames, RateHz);
        Bands = new BandPlan(Sweep.BinHz, 30, 10_500);
        FrameCount = source.Length / Sweep.HopFrames + 1;
        Sums = new FrameSums(FrameCount, Bands.Count);
        Excess = new float[FrameCount, Bands.Count];
        Present = new double[FrameCount];
        var density = (float)Math.Max(hissDeviation * hissDeviation, 1e-12);
        Noise = new NoiseModel([.. Enumerable.Repeat(density, Sweep.BinCount)], Sweep, null);
        Solver = new LagSolver(FrameCount, Sweep.HopFrames / RateHz, null);
    }

    internal ShapedSource Shaped { get; }

    internal FrameSweep Sweep { get; }

    internal BandPlan Bands { get; }

    internal FrameSums Sums { get; }

    internal NoiseModel Noise { get; }

    internal LagSolver Solver { get; }

    internal int FrameCount { get; }

    internal double[] Present { get; }

    internal float[,] Excess { get; }

    /// <summary>Frames that are wholly inside the sound.</summary>
    internal IEnumerable<int> Inner => Enumerable.Range(2, FrameCount - 4);

    internal double SecondsOf(int frame) => frame * Sweep.HopFrames / RateHz;

    /// <summary>One pass over a capture that lies along the present map already.</summary>
    /// <param name="along">The capture.</param>
    /// <param name="isInTime">The machine's phase is known, and the map right but for some frames.</param>
    internal void Solve(float[] along, bool isInTime = false)
    {
        Sweep.Run(Shaped, along, Bands, Noise, Sums);
        Solver.Solve(
            Sums,
            Bands,
            Present,
            new FramePrior(new double[FrameCount], new double[FrameCount], new bool[FrameCount]),
            [.. Enumerable.Range(0, FrameCount).Select(k => k >= 1 && k < FrameCount - 1)],
            [],
            Excess,
            isInTime ? Sweep.BinHz : null
        );
    }

    internal static void AddNoise(float[] signal, ulong seed, double deviation)
    {
        var random = new SplitMix64(seed);
        for (var i = 0; i < signal.Length; i++)
            signal[i] += (float)(deviation * Math.Sqrt(-2 * Math.Log(1 - random.Unit())) * Math.Cos(2 * Math.PI * random.Unit()));
    }

    /// <summary>White noise of unit deviation through steep band limits.</summary>
    internal static float[] BandNoise(ulong seed, int frames, double lowHz, double highHz)
    {
        var noise = new float[frames];
        AddNoise(noise, seed, 1);
        new FilterCascade(FilterDesign.ButterworthHighPass(4, lowHz, RateHz)).Process(noise, noise);
        new FilterCascade(FilterDesign.ButterworthLowPass(8, highHz, RateHz)).Process(noise, noise);
        return noise;
    }

    internal double SourceDeviation => Math.Sqrt(_source.Average(x => (double)x * x));
}
