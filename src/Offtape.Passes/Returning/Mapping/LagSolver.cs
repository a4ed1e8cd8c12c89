using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>
/// From the sums of a pass to how much later each frame is than the map says. The capture is modelled as Y = g·X − τ·D + E, the delay to
/// first order: the least-squares pair (g, τ) under the noise of each bin is the maximum-likelihood step (a Gauss–Newton step of the
/// generalised correlator of E. J. Hannan and P. J. Thomson, Biometrika 60(3), 1973). Bands that fit worse than their noise allows, against
/// the smoothed lag, count less in the next round.
/// </summary>
internal sealed class LagSolver
{
    private const int Rounds = 3;

    // A fair machine; the tremble takes what is faster than some hertz.
    private static readonly WanderModel UsualWander = new(1e-6, 5e-6, 0.1);

    // A gain within a tenth of what the response says is no news.
    private const double GainPrior = 100;

    // Overlapping Hann windows share half of what they hear: each frame's evidence counts for this much less.
    private const double SharedEvidence = 1.94;
    private const double LeastEvidence = 5;
    private const double FloorSeconds = 0.5e-6;
    private const double LeastScale = 0.7;
    private const double MostScale = 1e4;
    private const double LeastGain = 0.1;
    private const float LostExcess = 1e12f;
    private const double OutOfTimeEvidence = 20;
    private const double OutOfTimeLeft = 0.6;
    private const double LouderThanSource = 2.5;
    private const double MostGain = 1.5;

    private readonly WanderSmoother _smoother = new();
    private readonly double _stepSeconds;
    private readonly int _frames;
    private readonly double[] _information;
    private readonly double[] _measured;
    private readonly double[] _scaled;
    private readonly double[] _linear;
    private readonly (double Xx, double Xd, double Dd, double Yx, double Yd)[] _sums;

    internal LagSolver(int frames, double stepSeconds, LagSolver? before, WanderModel? start = null)
    {
        (Scale, Wander) = (before?.Scale ?? 1, before?.Wander ?? start ?? UsualWander);
        (_frames, _stepSeconds) = (frames, stepSeconds);
        (_information, _measured, _scaled, _linear) = (new double[frames], new double[frames], new double[frames], new double[frames]);
        (Gain, Lag, Sigma) = (new double[frames], new double[frames], new double[frames]);
        Array.Fill(Gain, 1);
        _sums = new (double, double, double, double, double)[frames];
    }

    /// <summary>The smoothed departure of the map from its straight line, seconds, after a pass.</summary>
    internal double[] Lag { get; }

    internal double[] Sigma { get; }

    /// <summary>Of each frame against the response, along the smoothed lag.</summary>
    internal double[] Gain { get; }

    /// <summary>How much less the frames know than they say: the variance of their residuals against it.</summary>
    internal double Scale { get; private set; }

    /// <summary>How the tape was found to move.</summary>
    internal WanderModel Wander { get; private set; }

    /// <summary>What each frame says by itself, 1/σ², the pull to the coarse path included.</summary>
    internal ReadOnlySpan<double> Information => _information;

    /// <summary>The departure each frame says by itself; of no meaning where its information is 0.</summary>
    internal ReadOnlySpan<double> Measured => _measured;

    /// <summary>Solves one pass.</summary>
    /// <param name="sums">Of all frames.</param>
    /// <param name="bands">Their bands.</param>
    /// <param name="present">The present map's departure from its straight line, one value a frame.</param>
    /// <param name="prior">Where the coarse path has it, or longer windows.</param>
    /// <param name="isHeard">Frames outside the sound or in a stop know nothing.</param>
    /// <param name="relativeNoise">As of <see cref="WanderSmoother"/>.</param>
    /// <param name="excess">Receives each frame's and band's share of noise above the model (1 = as modelled).</param>
    /// <param name="voteBinHz">Width of a bin, to look for bands that are out of time with the lower ones, which needs the machine's phase; null not to.</param>
    internal void Solve(
        FrameSums sums,
        BandPlan bands,
        double[] present,
        FramePrior prior,
        bool[] isHeard,
        double[] relativeNoise,
        float[,] excess,
        double? voteBinHz = null
    )
    {
        var lost = new int[_frames];
        for (var k = 0; k < _frames; k++)
        {
            lost[k] = voteBinHz is { } binHz && isHeard[k] ? BandVote.FirstLost(sums, bands, binHz, k, Gain[k]) : bands.Count;
            for (var b = 0; b < bands.Count; b++)
                excess[k, b] = b < lost[k] ? 1 : LostExcess;
        }
        for (var round = 0; round < Rounds; round++)
        {
            for (var k = 0; k < _frames; k++)
                Measure(k, sums, bands, excess, present[k], prior, isHeard[k]);
            Smooth(relativeNoise, findModel: round < 2);
            for (var k = 0; k < _frames; k++)
                Excess(k, sums, bands, Lag[k] - present[k], lost[k], excess, voteBinHz is not null);
        }
    }

    private void Measure(int k, FrameSums sums, BandPlan bands, float[,] excess, double present, FramePrior prior, bool isHeard)
    {
        double xx = 0,
            xd = 0,
            dd = 0,
            yx = 0,
            yd = 0,
            xff = 0;
        for (var b = 0; b < bands.Count; b++)
        {
            var s = sums.Of(k, b);
            var share = 1 / excess[k, b];
            xx += s[(int)BandSum.SourcePower] * share;
            xd += s[(int)BandSum.SlopeSource] * share;
            dd += s[(int)BandSum.SlopePower] * share;
            yx += s[(int)BandSum.SourceCapture] * share;
            yd += s[(int)BandSum.SlopeCapture] * share;
            xff += s[(int)BandSum.SourcePowerHzSquared] * share;
        }
        _sums[k] = (xx, xd, dd, yx, yd);
        // A quarter of a period at the frame's mean frequency: so far a first-order step can be trusted.
        _linear[k] = 0.25 / Math.Sqrt(xff / (xx + 1e-30) + 1);
        if (isHeard && prior.IsAll[k])
        {
            (_information[k], _measured[k]) = (prior.Information[k], prior.Departure[k]);
            return;
        }
        if (!isHeard || xx < LeastEvidence)
        {
            (_information[k], _measured[k]) = (0, present);
            return;
        }
        var determinant = (xx + GainPrior) * dd - xd * xd + 1e-30;
        var gain = ((yx + GainPrior) * dd - xd * yd) / determinant;
        // The slope comes back as loud as the sound: where a dropout takes most of both, what is left of it is all of the lag.
        var lag = -((xx + GainPrior) * yd - xd * (yx + GainPrior)) / determinant / Math.Clamp(gain, LeastGain, MostGain);
        var information = (dd - xd * xd / (xx + GainPrior)) / SharedEvidence;
        var clipped = Math.Clamp(gain, 0, MostGain);
        information *= gain < LeastGain ? 0 : clipped * clipped;
        if (Math.Abs(lag) > 2 * _linear[k])
            information *= 0.05;
        information = Math.Min(information, 1 / (FloorSeconds * FloorSeconds));
        var measured = present + Math.Clamp(lag, -_linear[k], _linear[k]);
        var pull = prior.Information[k];
        _measured[k] = (information * measured + pull * prior.Departure[k]) / (information + pull + 1e-9);
        _information[k] = information + pull;
    }

    private void Smooth(double[] relativeNoise, bool findModel)
    {
        Rescale();
        if (findModel)
            Wander = WanderSearch.Climb(_smoother, _measured, _scaled, _stepSeconds, Wander, relativeNoise);
        _smoother.LogLikelihood(_measured, _scaled, _stepSeconds, Wander, relativeNoise);
        if (_smoother.Misfit is > 1.15 or < 0.87)
        {
            Scale = Math.Clamp(Scale * _smoother.Misfit, LeastScale, MostScale);
            Rescale();
        }
        _smoother.Fit(_measured, _scaled, _stepSeconds, Wander, relativeNoise, Lag, Sigma);
    }

    private void Rescale()
    {
        for (var k = 0; k < _frames; k++)
            _scaled[k] = _information[k] / Scale;
    }

    /// <summary>The residual of each band against the smoothed lag, not against the frame's own: else a band that is wrong explains itself.</summary>
    private void Excess(int k, FrameSums sums, BandPlan bands, double step, int lost, float[,] excess, bool isInTime)
    {
        var lag = Math.Clamp(step, -_linear[k], _linear[k]);
        var (xx, xd, _, yx, _) = _sums[k];
        var gain = Math.Clamp((yx + GainPrior + lag * xd) / (xx + GainPrior), 0, 2);
        Gain[k] = gain;
        if (isInTime && IsOutOfTime(k, sums, bands, gain, lag))
        {
            // A first-order step knows nothing of a lag beyond its reach: the frame would say "here" a period away. (While the path itself may
            // still be off, every frame is wanted.)
            for (var b = 0; b < bands.Count; b++)
                excess[k, b] = LostExcess;
            return;
        }
        for (var b = 0; b < bands.Count; b++)
        {
            var bins = bands.BinsIn(b);
            var residual = Residual(sums.Of(k, b), gain, lag) / Math.Max(bins, 1);
            excess[k, b] =
                b >= lost ? LostExcess
                : residual > 1 + 1.5 / Math.Sqrt(Math.Max(bins, 1)) ? (float)residual
                : 1;
        }
    }

    /// <summary>The capture is as loud as the source should be here, and not explained by it.</summary>
    private static bool IsOutOfTime(int k, FrameSums sums, BandPlan bands, double gain, double lag)
    {
        double source = 0,
            power = 0,
            left = 0;
        for (var b = 0; b < bands.Count; b++)
        {
            var s = sums.Of(k, b);
            var hiss = s[(int)BandSum.Hiss];
            var (ofSource, ofCapture) = (s[(int)BandSum.SourcePower], s[(int)BandSum.CapturePower] - hiss);
            // A band that the source leaves out holds what the tape made of the others (harmonics of an overdriven note): nothing is out of time there.
            if (ofCapture > LouderThanSource * ofSource)
                continue;
            source += ofSource;
            power += ofCapture;
            left += Residual(s, gain, lag) - hiss;
        }
        return source > OutOfTimeEvidence
            && power < LouderThanSource * source
            && power > source / LouderThanSource
            && left > OutOfTimeLeft * power;
    }

    /// <summary>Σ|Y − g·X + τ·D|² over noise.</summary>
    internal static double Residual(ReadOnlySpan<float> s, double gain, double lag) =>
        s[(int)BandSum.CapturePower]
        + gain * gain * s[(int)BandSum.SourcePower]
        + lag * lag * s[(int)BandSum.SlopePower]
        - 2 * gain * s[(int)BandSum.SourceCapture]
        + 2 * lag * s[(int)BandSum.SlopeCapture]
        - 2 * gain * lag * s[(int)BandSum.SlopeSource];

    /// <summary>The step that was found for a frame, held to what first order allows.</summary>
    internal double StepAt(int k, double present) => Math.Clamp(Lag[k] - present, -_linear[k], _linear[k]);
}
