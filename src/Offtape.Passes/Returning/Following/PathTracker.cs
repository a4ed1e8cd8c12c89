using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Following;

/// <summary>
/// Follows a source through a capture, window by window in capture time: a Kalman filter over source time and tape speed that keeps
/// several rival hypotheses, since the correlation of a pitched sound has a peak at every period, and lets continuity decide between
/// them. The winner is smoothed backwards (Rauch, Tung and Striebel, AIAA Journal 3(8), 1965).
/// </summary>
/// <remarks>Both signals must be at the same working rate, with the source nominally as fast as the capture: a signal played at another
/// speed is read at a working rate that undoes it, one played backwards is read backwards.</remarks>
internal sealed class PathTracker
{
    internal const int HopFrames = 160;

    // Smallest error of a peak: interpolation and the machine's own phase.
    private const double FloorSeconds = 15e-6;
    private const double TightSeconds = 20e-6;
    private const double LooseSeconds = 200e-6;
    private const double GateSquared = 25;
    private const double LongestReachSeconds = 0.02;
    private const double SoundingBelowPeakDb = 50;

    private readonly PathSettings _settings;
    private readonly WindowCorrelator _correlator;
    private readonly double _rate;
    private readonly float[] _captureWindow = new float[WindowCorrelator.WindowFrames];
    private readonly float[] _sourceWindow = new float[WindowCorrelator.WindowFrames];
    private float[] _sourceRaw = new float[4096];

    private sealed record Hypothesis(PathState State, double LogLikelihood, PathNode? Node);

    private readonly record struct Peak(double LagSeconds, float Strength);

    private sealed record Correlated(double Source, double Speed, List<Peak> Peaks, double Cells, double MeanSquareHz);

    internal PathTracker(double workingRateHz, PathSettings settings)
    {
        _rate = workingRateHz;
        _settings = settings;
        _correlator = new WindowCorrelator(workingRateHz);
    }

    /// <summary>Follows from a start in the capture until the source or the capture ends.</summary>
    /// <param name="source">The clean sound.</param>
    /// <param name="loudness">Its level over time, for telling sound from silence.</param>
    /// <param name="capture">What came back.</param>
    /// <param name="startCaptureSeconds">Where <paramref name="startSourceSeconds"/> is heard, in seconds of the capture signal.</param>
    /// <param name="startSourceSeconds">Where to begin in the source.</param>
    /// <param name="speed">Source seconds per capture second, near 1.</param>
    /// <param name="endSourceSeconds">Where to end in the source.</param>
    /// <param name="cancellation">Stops with <see cref="OperationCanceledException"/>.</param>
    internal TrackedPath Follow(
        WorkingSignal source,
        LevelCurve loudness,
        WorkingSignal capture,
        double startCaptureSeconds,
        double startSourceSeconds,
        double speed,
        double endSourceSeconds,
        CancellationToken cancellation = default
    )
    {
        var motion = new PathMotion(HopFrames / _rate, speed, _settings.WanderSigma, _settings.WanderSeconds);
        var frame = (long)Math.Round(startCaptureSeconds * _rate);
        var startState = new PathState(
            startSourceSeconds + (frame / _rate - startCaptureSeconds) * speed,
            speed,
            _settings.StartSigmaSeconds * _settings.StartSigmaSeconds,
            0,
            _settings.SpeedSigma * _settings.SpeedSigma
        );
        var hypotheses = new List<Hypothesis> { new(startState, 0, null) };
        var sourceEnd = Math.Min(endSourceSeconds, source.FrameCount / _rate);
        var captureEnd = capture.FrameCount / _rate;
        var soundingLevel = loudness.PeakDb - SoundingBelowPeakDb;
        var windows = 0;
        while (true)
        {
            var time = frame / _rate;
            if (hypotheses[0].State.Source > sourceEnd || time > captureEnd)
                break;
            if ((++windows & 0xFF) == 0)
                cancellation.ThrowIfCancellationRequested();
            hypotheses = Advance(hypotheses, source, loudness, soundingLevel, capture, frame, time);
            for (var i = 0; i < hypotheses.Count; i++)
                hypotheses[i] = hypotheses[i] with { State = hypotheses[i].State.Predict(motion) };
            frame += HopFrames;
        }
        return Smooth(hypotheses[0], motion);
    }

    private List<Hypothesis> Advance(
        List<Hypothesis> hypotheses,
        WorkingSignal source,
        LevelCurve loudness,
        double soundingLevel,
        WorkingSignal capture,
        long frame,
        double time
    )
    {
        var children = new List<Hypothesis>(hypotheses.Count * (_settings.PeakCount + 1));
        var shared = new List<Correlated>();
        var isCaptureReady = false;
        foreach (var hypothesis in hypotheses)
        {
            var state = hypothesis.State;
            var isSounding = loudness.DbAt(state.Source) > soundingLevel;
            if (!isSounding)
            {
                children.Add(Child(hypothesis, time, state, state, 0, 0, false));
                continue;
            }
            if (!isCaptureReady)
            {
                capture.Read(frame - WindowCorrelator.WindowFrames / 2, _captureWindow);
                _correlator.SetCapture(_captureWindow);
                isCaptureReady = true;
            }
            var known = shared.Find(c => Math.Abs(c.Source - state.Source) < 1e-3 && Math.Abs(c.Speed - state.Speed) < 2e-3);
            if (known is null)
                shared.Add(known = Correlate(source, state));
            // "No peak here" is a hypothesis as well, at a small cost.
            children.Add(Child(hypothesis, time, state, state, -0.02 * known.Cells, 0, true));
            foreach (var peak in known.Peaks)
            {
                var measured = known.Source - known.Speed * peak.LagSeconds;
                var innovation = measured - state.Source;
                var strength = Math.Min(peak.Strength, 0.999f);
                var variance = MeasurementVariance(strength, known.Cells, known.MeanSquareHz);
                var total = state.Pss + variance;
                if (innovation * innovation > GateSquared * total)
                    continue;
                var gain =
                    -0.5 * known.Cells * Math.Log(1 - strength * strength)
                    - 0.5 * innovation * innovation / total
                    - 0.5 * Math.Log(total / variance);
                children.Add(Child(hypothesis, time, state, state.Update(innovation, total), gain, strength, true));
            }
        }
        return Prune(children);
    }

    private static Hypothesis Child(
        Hypothesis parent,
        double time,
        PathState predicted,
        PathState updated,
        double gain,
        float strength,
        bool isSounding
    ) =>
        new(
            updated,
            parent.LogLikelihood + gain,
            new PathNode
            {
                Previous = parent.Node,
                CaptureSeconds = time,
                Predicted = predicted,
                Updated = updated,
                Strength = strength,
                Gain = gain,
                IsSounding = isSounding,
            }
        );

    private static double MeasurementVariance(double strength, double cells, double meanSquareHz)
    {
        var own = (1 - strength * strength) / (strength * strength) / (2 * Math.Max(cells, 1) * 4 * Math.PI * Math.PI * meanSquareHz);
        var model = strength > 0.5 ? TightSeconds : LooseSeconds;
        return own + model * model + FloorSeconds * FloorSeconds;
    }

    /// <summary>Correlates at the predicted place and speed: under a ride the rate changes within a window, so the source is warped to it first.</summary>
    private Correlated Correlate(WorkingSignal source, PathState state)
    {
        const int half = WindowCorrelator.WindowFrames / 2;
        var speed = Math.Clamp(state.Speed, 0.02, 4);
        var first = state.Source * _rate - half * speed;
        var margin = Retimer.HalfWidthFrames(speed) + 1;
        var from = (long)Math.Floor(first) - margin;
        var count = (int)Math.Ceiling(WindowCorrelator.WindowFrames * speed) + 2 * margin + 2;
        if (_sourceRaw.Length < count)
            _sourceRaw = new float[count];
        var raw = _sourceRaw.AsSpan(0, count);
        source.Read(from, raw);
        Retimer.RenderFixed(raw, from, first, speed, _sourceWindow);
        _correlator.Correlate(_sourceWindow);
        var reach = Math.Min(4 * Math.Sqrt(state.Pss) + 2e-4, LongestReachSeconds) + 1e-3;
        var steps = (int)(reach * _rate * WindowCorrelator.Oversampling) + 2;
        return new Correlated(state.Source, state.Speed, FindPeaks(steps), _correlator.IndependentCells, _correlator.MeanSquareHz);
    }

    private List<Peak> FindPeaks(int reachSteps)
    {
        var peaks = new List<Peak>();
        for (var k = -reachSteps + 1; k < reachSteps; k++)
        {
            var (before, here, after) = (_correlator.At(k - 1), _correlator.At(k), _correlator.At(k + 1));
            if (here <= 0.1f || here <= before || here < after)
                continue;
            var curvature = before - 2 * here + after;
            var offset = curvature < 0 ? 0.5 * (before - after) / curvature : 0;
            peaks.Add(new Peak((k + offset) / (_rate * WindowCorrelator.Oversampling), here));
        }
        if (peaks.Count > _settings.PeakCount)
        {
            peaks.Sort((a, b) => b.Strength.CompareTo(a.Strength));
            peaks.RemoveRange(_settings.PeakCount, peaks.Count - _settings.PeakCount);
        }
        return peaks;
    }

    private List<Hypothesis> Prune(List<Hypothesis> children)
    {
        children.Sort((a, b) => b.LogLikelihood.CompareTo(a.LogLikelihood));
        var kept = new List<Hypothesis>(_settings.HypothesisCount);
        foreach (var child in children)
        {
            if (kept.Count >= _settings.HypothesisCount || child.LogLikelihood < children[0].LogLikelihood - 60)
                break;
            if (
                !kept.Exists(k =>
                    Math.Abs(k.State.Source - child.State.Source) < 0.12e-3 && Math.Abs(k.State.Speed - child.State.Speed) < 0.02
                )
            )
                kept.Add(child);
        }
        return kept;
    }

    private static TrackedPath Smooth(Hypothesis winner, in PathMotion motion)
    {
        var nodes = new List<PathNode>();
        for (var node = winner.Node; node is not null; node = node.Previous)
            nodes.Add(node);
        nodes.Reverse();
        var n = nodes.Count;
        var path = new TrackedPath
        {
            CaptureSeconds = new double[n],
            SourceSeconds = new double[n],
            Speed = new double[n],
            SigmaSeconds = new double[n],
            Strength = new float[n],
            Gain = new double[n],
            IsSounding = new bool[n],
            LogLikelihood = winner.LogLikelihood,
        };
        var smooth = n > 0 ? nodes[n - 1].Updated : default;
        for (var k = n - 1; k >= 0; k--)
        {
            if (k < n - 1)
                smooth = SmoothBack(nodes[k].Updated, nodes[k + 1].Predicted, smooth, motion);
            path.CaptureSeconds[k] = nodes[k].CaptureSeconds;
            path.SourceSeconds[k] = smooth.Source;
            path.Speed[k] = smooth.Speed;
            path.SigmaSeconds[k] = Math.Sqrt(Math.Max(smooth.Pss, 0));
            path.Strength[k] = nodes[k].Strength;
            path.Gain[k] = nodes[k].Gain;
            path.IsSounding[k] = nodes[k].IsSounding;
        }
        return path;
    }

    /// <summary>One step of the backward pass: gain G = P·Fᵀ·P⁻¹(predicted).</summary>
    private static PathState SmoothBack(PathState here, PathState predictedNext, PathState smoothNext, in PathMotion motion)
    {
        var (a, b, d) = (predictedNext.Pss + 1e-18, predictedNext.Psu, predictedNext.Puu + 1e-18);
        var determinant = a * d - b * b;
        var (ia, ib, id) = (d / determinant, -b / determinant, a / determinant);
        // P·Fᵀ with F = [1 a; 0 b]
        var (f, m) = (motion.Coupling, motion.Memory);
        var (p11, p12) = (here.Pss + f * here.Psu, m * here.Psu);
        var (p21, p22) = (here.Psu + f * here.Puu, m * here.Puu);
        var (g11, g12) = (p11 * ia + p12 * ib, p11 * ib + p12 * id);
        var (g21, g22) = (p21 * ia + p22 * ib, p21 * ib + p22 * id);
        var (ds, du) = (smoothNext.Source - predictedNext.Source, smoothNext.Speed - predictedNext.Speed);
        var (e11, e12, e22) = (smoothNext.Pss - predictedNext.Pss, smoothNext.Psu - predictedNext.Psu, smoothNext.Puu - predictedNext.Puu);
        var (t11, t12) = (g11 * e11 + g12 * e12, g11 * e12 + g12 * e22);
        var (t21, t22) = (g21 * e11 + g22 * e12, g21 * e12 + g22 * e22);
        return new PathState(
            here.Source + g11 * ds + g12 * du,
            here.Speed + g21 * ds + g22 * du,
            here.Pss + t11 * g11 + t12 * g12,
            here.Psu + t11 * g21 + t12 * g22,
            here.Puu + t21 * g21 + t22 * g22
        );
    }
}
