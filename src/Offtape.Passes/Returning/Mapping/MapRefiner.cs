using Offtape.Passes.Following;
using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>
/// From a coarse path, right to a fraction of a millisecond, to the fine map of a section: the capture is retimed by the present map and
/// compared with the source as the machine would give it back; the machine (response, curve, noise) is learned on the way. Passes with
/// rising upper limits, so that a coarse error cannot slip a period of the treble, then with shorter windows, for the flutter.
/// </summary>
internal sealed class MapRefiner
{
    private const double LowHz = 30;

    // The coarse path holds the map where a frame says little; less so once the fine one stands, and hardly by low notes, whose phase it cannot trust.
    private const double EarlyPullSeconds = 1e-4;
    private const double LatePullSeconds = 3e-4;
    private const double UnknownPhaseHz = 27;
    private const int DoubtfulPasses = 4;
    private const int SearchPasses = 4;

    private static readonly (int WindowFrames, double HighHz)[] Passes =
    [
        (1024, 3000),
        (1024, 3000),
        (1024, 6000),
        (1024, 10_500),
        (1024, 10_500),
        (512, 10_500),
        (256, 10_500),
    ];

    private readonly MapSection _section;
    private readonly PathCurve _coarse;
    private readonly LagSearch _search = new();
    private readonly ShapedSource _shaped;
    private readonly float[] _along;
    private readonly double[] _positions;

    private MapRefiner(MapSection section, PathCurve coarse)
    {
        (_section, _coarse) = (section, coarse);
        _shaped = new ShapedSource(section.Source.Length, MapSection.RateHz);
        (_along, _positions) = (new float[section.Source.Length], new double[section.Source.Length]);
    }

    /// <summary>Refines a section of at least a tenth of a second.</summary>
    internal static SectionMap Refine(MapSection section, PathCurve coarse, CancellationToken cancellation) =>
        new MapRefiner(section, coarse).Run(cancellation);

    private SectionMap Run(CancellationToken cancellation)
    {
        var (response, curve) = (MachineResponse.Straight, new TapeCurve());
        var grid = new MapGrid(_section, Passes[0].WindowFrames, null, _coarse);
        for (var pass = 0; pass < Passes.Length; pass++)
        {
            cancellation.ThrowIfCancellationRequested();
            var (windowFrames, highHz) = Passes[pass];
            if (windowFrames != grid.Sweep.WindowFrames)
                grid = new MapGrid(_section, windowFrames, grid, _coarse);
            Retime(grid);
            _shaped.Bend(_section.Source, curve);
            if (pass > 0)
                response = MachineResponse.Measure(_shaped.Bent, _along, _section.HissDensity, MapSection.RateHz, highHz);
            _shaped.Shape(_section.Source, response);
            if (pass < DoubtfulPasses)
                grid.Noise.DoubtLowPhase(grid.Sweep.BinHz);
            curve = Solve(grid, pass, highHz, curve);
        }
        return new SectionMap
        {
            SourceSeconds = grid.Seconds,
            CaptureSeconds = grid.Map,
            SigmaSeconds = grid.Solver.Sigma,
            Response = response,
            Curve = curve,
            ProcessNoise = grid.Solver.ProcessNoise,
            Scale = grid.Solver.Scale,
        };
    }

    private TapeCurve Solve(MapGrid grid, int pass, double highHz, TapeCurve curve)
    {
        var bands = new BandPlan(grid.Sweep.BinHz, LowHz, highHz);
        var sums = new FrameSums(grid.FrameCount, bands.Count);
        grid.Sweep.Run(_shaped, _along, bands, grid.Noise, sums);
        for (var k = 0; k < grid.FrameCount; k++)
            grid.Present[k] = grid.Map[k] - grid.Straight[k];
        var excess = new float[grid.FrameCount, bands.Count];
        var solver = grid.Solver;
        solver.Solve(
            sums,
            bands,
            grid.Present,
            Pull(grid, sums, bands, pass > 2 ? LatePullSeconds : EarlyPullSeconds),
            grid.IsHeard,
            [],
            excess
        );
        if (pass > 0)
            curve = CurveFit.Refit(curve, sums, bands, excess, solver, grid.Present);
        SoundError.Learn(grid.Noise, sums, bands, solver, grid.Present);
        grid.Noise.Know(curve);
        var shifts = pass < SearchPasses ? _search.Find(sums, bands, solver, grid.Present, _shaped, _along, grid.Noise) : null;
        for (var k = 0; k < grid.FrameCount; k++)
        {
            grid.Map[k] = grid.Straight[k] + solver.Lag[k];
            if (shifts is null || shifts[k] == 0)
                continue;
            grid.Map[k] += shifts[k];
            grid.Coarse[k] = grid.Map[k];
        }
        return curve;
    }

    /// <summary>The capture along the present map, a sample for each of the source's.</summary>
    private void Retime(MapGrid grid)
    {
        var spline = grid.MapSpline();
        double largest = 0.5;
        for (var i = 0; i < _positions.Length; i++)
        {
            _positions[i] = spline.At((double)i / grid.Sweep.HopFrames) * MapSection.RateHz;
            if (i > 0)
                largest = Math.Max(largest, _positions[i] - _positions[i - 1]);
        }
        Retimer.Render(_section.Capture, _section.CaptureStartFrame, _positions, Retimer.BandwidthForStep(Math.Min(largest, 8)), _along);
    }

    private static (double[] Departure, double[] Information) Pull(MapGrid grid, FrameSums sums, BandPlan bands, double pullSeconds)
    {
        var (departure, information) = (new double[grid.FrameCount], new double[grid.FrameCount]);
        // As much a second, however short the windows.
        var share = (double)grid.Sweep.WindowFrames / MapSection.LongWindowFrames;
        for (var k = 0; k < grid.FrameCount; k++)
        {
            departure[k] = grid.Coarse[k] - grid.Straight[k];
            if (!grid.IsHeard[k])
                continue;
            double evidence = 0,
                weighted = 0;
            for (var b = 0; b < bands.Count; b++)
            {
                var s = sums.Of(k, b);
                evidence += s[(int)BandSum.SourcePower];
                weighted += s[(int)BandSum.SourcePowerHzSquared];
            }
            if (evidence < 5)
                continue;
            var hertz = Math.Sqrt(weighted / (evidence + 1e-30)) + 20;
            var phaseDoubt = 2 * UnknownPhaseHz / hertz / (2 * Math.PI * hertz);
            information[k] = share / (pullSeconds * pullSeconds + phaseDoubt * phaseDoubt);
        }
        return (departure, information);
    }
}
