using Offtape.Passes.Following;

namespace Offtape.Passes.Mapping;

/// <summary>The frames of a section for one length of window, and the map on them.</summary>
internal sealed class MapGrid
{
    internal MapGrid(MapSection section, int windowFrames, MapGrid? before, PathCurve coarse)
    {
        Sweep = new FrameSweep(windowFrames, MapSection.RateHz);
        FrameCount = section.Source.Length / Sweep.HopFrames + 1;
        Solver = new LagSolver(FrameCount, StepSeconds, before?.Solver.Scale ?? 1);
        Noise = new NoiseModel(section.HissDensity, Sweep, before?.Noise);
        (Map, Coarse, Straight) = (new double[FrameCount], new double[FrameCount], new double[FrameCount]);
        (Present, Seconds, IsHeard) = (new double[FrameCount], new double[FrameCount], new bool[FrameCount]);
        var (finer, rougher) = (before?.MapSpline(), before is null ? null : new Offtape.Signal.EvenSpline(before.Coarse));
        for (var k = 0; k < FrameCount; k++)
        {
            var seconds = Seconds[k] = section.SourceStart + k * StepSeconds;
            IsHeard[k] = seconds >= section.FirstHeard && seconds <= section.LastHeard;
            var position = before is null ? 0 : k * StepSeconds / before.StepSeconds;
            Map[k] = finer?.At(position) ?? coarse.CaptureAt(seconds);
            Coarse[k] = rougher?.At(position) ?? Map[k];
        }
        for (var k = 0; k < FrameCount; k++)
            Straight[k] = Map[0] + (Map[^1] - Map[0]) * k / (FrameCount - 1);
    }

    internal FrameSweep Sweep { get; }

    internal LagSolver Solver { get; }

    internal NoiseModel Noise { get; }

    internal int FrameCount { get; }

    internal double StepSeconds => Sweep.HopFrames / MapSection.RateHz;

    /// <summary>Tracker second of each frame's middle.</summary>
    internal double[] Seconds { get; }

    /// <summary>Where each is heard, capture seconds.</summary>
    internal double[] Map { get; }

    /// <summary>Where the coarse path has it.</summary>
    internal double[] Coarse { get; }

    /// <summary>A straight line through the ends: lags are small numbers against it.</summary>
    internal double[] Straight { get; }

    /// <summary>The map's departure from the straight line when the pass began.</summary>
    internal double[] Present { get; }

    internal bool[] IsHeard { get; }

    internal Offtape.Signal.EvenSpline MapSpline() => new(Map);
}
