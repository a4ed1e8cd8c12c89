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
    // The coarse path holds the map where a frame says little; less so once the fine one stands, and hardly by low notes, whose phase it cannot trust.
    private const double EarlyPullSeconds = 1e-4;
    private const double LatePullSeconds = 3e-4;
    private const double UnknownPhaseHz = 27;

    // A short window holds less than a period of the lowest notes: where they stand alone, long windows see better. Where that is nearly
    // everywhere, there is nothing for short ones to see.
    private const double LowNoteHz = 150;
    private const double SomeLow = 0.3;
    private const double MostLow = 0.85;
    private const double StandsOut = 4;
    private const double PlainDelayHz = 600;

    /// <summary>A take that is known by its treble for the most part can speak of the machine's phase.</summary>
    internal const double BroadTreble = 0.7;
    private const int SearchPasses = 3;

    // A held note fits a period away but for its swelling and its neighbours; another sound does not.
    private const double DetourMargin = 0.1;

    // As little as a low take's own evidence of phase counts beside that of takes with treble.
    private const double OwnPhaseShare = 0.1;

    // Flutter that long windows blur is a few microseconds: no use looking closer where the map is not that good.
    private const double CloseLookSeconds = 4e-6;
    private const double BlurWorth = 2;

    private static readonly double[] EarlyHighHz = [3000, 6000, HighHz];

    // Three long passes were no better than one over 200 passes (perf/results/maps.md).
    private static readonly int[] LateWindowFrames = [1024, 256];
    private static readonly int[] StripeWindowFrames = [1024, 512, 256, 128];

    private static int[] WindowsFor(MapDetail detail) =>
        detail switch
        {
            MapDetail.Wow => [],
            MapDetail.Stripe => StripeWindowFrames,
            _ => LateWindowFrames,
        };

    private static readonly int[] GuidedWindowFrames = [1024, 1024];
    private const double HighHz = 10_500;

    private readonly MapSection _section;
    private readonly LagSearch _search = new();
    private readonly ShapedSource _shaped;
    private readonly float[] _along;
    private readonly double[] _positions;

    private MapRefiner(MapSection section)
    {
        _section = section;
        _shaped = new ShapedSource(section.Source.Length, MapSection.RateHz);
        (_along, _positions) = (new float[section.Source.Length], new double[section.Source.Length]);
    }

    /// <summary>The first passes over a section of at least a tenth of a second: by itself, up to the full band.</summary>
    internal static SectionMap Begin(MapSection section, PathCurve coarse, CancellationToken cancellation) =>
        new MapRefiner(section).RunEarly(coarse, cancellation);

    /// <summary>The last passes: with the machine as all takes of the pass together have it, and closer where there is enough to see.</summary>
    /// <param name="section">As begun.</param>
    /// <param name="begun">What was found by itself.</param>
    /// <param name="shared">What other takes know of the machine; null for none.</param>
    /// <param name="cancellation">Stops it.</param>
    /// <param name="detail">How closely to look.</param>
    internal static SectionMap Finish(
        MapSection section,
        SectionMap begun,
        ResponseEvidence? shared,
        CancellationToken cancellation,
        MapDetail detail = MapDetail.Flutter
    ) => new MapRefiner(section).RunLate(begun, begun.Grid, WindowsFor(detail), shared, cancellation);

    /// <summary>How the take lies against the section's guide: a slow lag, kept apart from the guide's own movement.</summary>
    /// <param name="section">With a guide.</param>
    /// <param name="coarse">The guide, with the lag as far as it is known.</param>
    /// <param name="found">The section by its own sound.</param>
    /// <param name="shared">As of <see cref="Finish"/>.</param>
    /// <param name="cancellation">Stops it.</param>
    internal static SectionMap Against(
        MapSection section,
        PathCurve coarse,
        SectionMap found,
        ResponseEvidence? shared,
        CancellationToken cancellation
    ) =>
        new MapRefiner(section).RunLate(
            found,
            new MapGrid(section, MapSection.LongWindowFrames, found.Grid, coarse),
            GuidedWindowFrames,
            shared,
            cancellation
        );

    private SectionMap RunEarly(PathCurve coarse, CancellationToken cancellation)
    {
        var curve = new TapeCurve();
        ResponseEvidence? evidence = null;
        var grid = new MapGrid(_section, MapSection.LongWindowFrames, null, coarse);
        var treble = 0.0;
        for (var pass = 0; pass < EarlyHighHz.Length; pass++)
        {
            cancellation.ThrowIfCancellationRequested();
            Retime(grid);
            _shaped.Bend(_section.Source, curve);
            evidence =
                pass == 0
                    ? null
                    : ResponseEvidence.Measure(_shaped.Bent, _along, _section.HissDensity, EarlyHighHz[pass], grid.TrebleTrust());
            _shaped.Shape(
                _section.Source,
                evidence is null ? MachineResponse.Straight : MachineResponse.Of(evidence, evidence, EarlyHighHz[pass])
            );
            grid.Noise.DoubtLowPhase(grid.Sweep.BinHz);
            (curve, treble) = Solve(grid, pass, EarlyHighHz[pass], curve);
        }
        return Result(grid, curve, evidence!, treble);
    }

    /// <summary>
    /// How much of the capture the source does not explain, of the bands that stand out of the hiss over the section. A recording through a
    /// machine leaves little, another hit of the same drum much.
    /// </summary>
    private static Remainder Remainder(FrameSums sums, BandPlan bands, MapGrid grid)
    {
        var shares = new List<double>();
        double allLeft = 0,
            allPower = 0;
        for (var b = 0; b < bands.Count; b++)
        {
            double power = 0,
                left = 0;
            for (var k = 0; k < grid.FrameCount; k++)
            {
                if (!grid.IsHeard[k])
                    continue;
                var s = sums.Of(k, b);
                var hiss = s[(int)BandSum.Hiss];
                if (s[(int)BandSum.CapturePower] < StandsOut * hiss)
                    continue;
                power += s[(int)BandSum.CapturePower] - hiss;
                left += LagSolver.Residual(s, grid.Solver.Gain[k], grid.Solver.StepAt(k, grid.Present[k])) - hiss;
            }
            if (power <= 0)
                continue;
            shares.Add(Math.Clamp(left / power, 0, 1));
            (allLeft, allPower) = (allLeft + Math.Clamp(left, 0, power), allPower + power);
        }
        shares.Sort();
        return shares.Count == 0 ? Mapping.Remainder.All : new(shares[shares.Count / 4], allLeft / allPower);
    }

    private SectionMap RunLate(SectionMap begun, MapGrid grid, int[] windows, ResponseEvidence? shared, CancellationToken cancellation)
    {
        var (curve, evidence, treble) = (begun.Curve, begun.Evidence, begun.TrebleShare);
        MapGrid? longer = null;
        for (var i = 0; i < windows.Length; i++)
        {
            cancellation.ThrowIfCancellationRequested();
            if (windows[i] != grid.Sweep.WindowFrames)
            {
                if (longer is null && grid.LowShare > SomeLow)
                {
                    // What low notes leave was learned while their phase was unknown: once more, with the machine as it is.
                    longer = grid;
                    i--;
                }
                else if (grid.SigmaSecondsAt(0.5) > CloseEnough(grid) || grid.LowShare > MostLow)
                    break;
                else
                {
                    longer = grid;
                    grid = new MapGrid(_section, windows[i], grid, null);
                }
            }
            Retime(grid);
            _shaped.Bend(_section.Source, curve);
            evidence = ResponseEvidence.Measure(_shaped.Bent, _along, _section.HissDensity, HighHz, grid.TrebleTrust());
            var phase = shared is null ? evidence : shared.With(evidence, OwnPhaseShare);
            var isBroad = shared is not null || begun.TrebleShare >= BroadTreble;
            _shaped.Shape(_section.Source, MachineResponse.Of(evidence, phase, HighHz, isBroad), keepsProducts: i > 0);
            (curve, treble) = Solve(grid, EarlyHighHz.Length, HighHz, curve, longer);
        }
        return Result(grid, curve, evidence, treble);
    }

    /// <summary>Closer windows are worth it where what the long ones blur is not small against what the map is unsure of.</summary>
    private static double CloseEnough(MapGrid grid) =>
        Math.Max(CloseLookSeconds, BlurWorth * Math.Sqrt(grid.Solver.Wander.BlurVariance(grid.WindowSeconds)));

    private SectionMap Result(MapGrid grid, TapeCurve curve, ResponseEvidence evidence, double treble) =>
        new()
        {
            Grid = grid,
            Evidence = evidence,
            Curve = curve,
            TrebleShare = treble,
            FirstHeard = _section.FirstHeard,
            LastHeard = _section.LastHeard,
        };

    private (TapeCurve Curve, double TrebleShare) Solve(MapGrid grid, int pass, double highHz, TapeCurve curve, MapGrid? longer = null)
    {
        var bands = new BandPlan(grid.Sweep.BinHz, MapSection.LowHz, highHz);
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
            Pull(grid, sums, bands, pass > 1 ? LatePullSeconds : EarlyPullSeconds, longer),
            grid.IsHeard,
            grid.RelativeNoise,
            excess,
            pass >= EarlyHighHz.Length ? grid.Sweep.BinHz : null
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
        if (pass < SearchPasses)
            Straighten(grid, bands);
        grid.Remainder = Remainder(sums, bands, grid);
        return (curve, TrebleShare(sums, bands, excess, grid));
    }

    /// <summary>Takes detours out of the map where the sound fits about as well without them.</summary>
    private void Straighten(MapGrid grid, BandPlan bands)
    {
        var departure = new double[grid.FrameCount];
        for (var k = 0; k < departure.Length; k++)
            departure[k] = grid.Map[k] - grid.Straight[k];
        foreach (var detour in Detours.Find(departure, grid.StepSeconds))
        {
            // A tape that stops or starts leaps in truth.
            if (grid.IsRampBetween(detour.FirstFrame, detour.LastFrame))
                continue;
            double here = 0,
                there = 0;
            var count = 0;
            for (var k = detour.FirstPlateauFrame; k <= detour.LastPlateauFrame; k++)
            {
                if (grid.Solver.Information[k] <= 0)
                    continue;
                var step = departure[k] - grid.Present[k];
                var (fit, other) = _search.Compare(k, grid.FrameCount, bands, _shaped, _along, grid.Noise, step, step - detour.Seconds);
                (here, there, count) = (here + fit, there + other, count + 1);
            }
            if (count == 0 || there < here - DetourMargin * count)
                continue;
            for (var k = Math.Max(0, detour.FirstFrame); k <= Math.Min(grid.FrameCount - 1, detour.LastFrame); k++)
                grid.Coarse[k] = grid.Map[k] -= detour.Seconds * detour.ShareAt(k);
        }
    }

    /// <summary>How much of what is known of the map comes from where a machine is a plain delay; of each frame and of all.</summary>
    private static double TrebleShare(FrameSums sums, BandPlan bands, float[,] excess, MapGrid grid)
    {
        double low = 1e-30,
            high = 0;
        for (var k = 0; k < grid.FrameCount; k++)
        {
            double ofFrame = 0;
            for (var b = 0; b < bands.Count; b++)
            {
                var information = sums.Of(k, b)[(int)BandSum.SlopePower] / excess[k, b];
                if (bands.Starts[b] * grid.Sweep.BinHz >= PlainDelayHz)
                    ofFrame += information;
                else
                    low += information;
            }
            high += ofFrame;
            grid.TrebleInformation[k] = ofFrame / grid.Solver.Scale;
        }
        return high / (low + high);
    }

    /// <summary>The capture along the present map, a sample for each of the source's.</summary>
    private void Retime(MapGrid grid)
    {
        var time = SectionTime.Of(grid, _section);
        double largest = 0.5;
        for (var i = 0; i < _positions.Length; i++)
        {
            _positions[i] = time.At(i) * MapSection.RateHz;
            if (i > 0)
                largest = Math.Max(largest, _positions[i] - _positions[i - 1]);
        }
        Retimer.Render(_section.Capture, _section.CaptureStartFrame, _positions, Retimer.BandwidthForStep(Math.Min(largest, 8)), _along);
    }

    private FramePrior Pull(MapGrid grid, FrameSums sums, BandPlan bands, double pullSeconds, MapGrid? longer)
    {
        var prior = new FramePrior(new double[grid.FrameCount], new double[grid.FrameCount], new bool[grid.FrameCount]);
        // A guide is right but for the lag that is sought: nothing pulls it.
        if (_section.Guide is not null)
            return prior;
        // As much a second, however short the windows.
        var share = (double)grid.Sweep.WindowFrames / MapSection.LongWindowFrames;
        var (low, known) = (0, 0);
        for (var k = 0; k < grid.FrameCount; k++)
        {
            prior.Departure[k] = grid.Coarse[k] - grid.Straight[k];
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
            known++;
            grid.IsLow[k] = hertz < LowNoteHz;
            low += grid.IsLow[k] ? 1 : 0;
            var phaseDoubt = 2 * UnknownPhaseHz / hertz / (2 * Math.PI * hertz);
            prior.Information[k] = share / (pullSeconds * pullSeconds + phaseDoubt * phaseDoubt);
        }
        grid.LowShare = known == 0 ? 0 : (double)low / known;
        if (longer is not null && longer.Sweep.WindowFrames > grid.Sweep.WindowFrames)
            Hear(grid, longer, prior);
        return prior;
    }

    /// <summary>Where low notes stand alone a short window says nothing, and what the longer one at its middle said is told instead.</summary>
    private static void Hear(MapGrid grid, MapGrid longer, FramePrior prior)
    {
        var ratio = longer.Sweep.HopFrames / grid.Sweep.HopFrames;
        for (var k = 0; k < grid.FrameCount; k++)
        {
            if (!grid.IsLow[k])
                continue;
            (prior.IsAll[k], prior.Information[k]) = (true, 0);
            var j = k / ratio;
            if (k % ratio != 0 || j >= longer.FrameCount || longer.Solver.Information[j] <= 0 || !IsLowAbout(k, ratio / 2))
                continue;
            prior.Departure[k] = longer.Straight[j] + longer.Solver.Measured[j] - grid.Straight[k];
            prior.Information[k] = 1 / (1 / longer.Solver.Information[j] + longer.Solver.Wander.BlurVariance(longer.WindowSeconds));
        }

        // Beside a stroke the longer window hears the stroke, which is told already.
        bool IsLowAbout(int middle, int reach)
        {
            for (var k = Math.Max(0, middle - reach); k <= Math.Min(grid.FrameCount - 1, middle + reach); k++)
            {
                if (!grid.IsLow[k] && grid.IsHeard[k])
                    return false;
            }
            return true;
        }
    }
}
