using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>
/// Where the capture is not what the source should sound like at this place, looks for the lag at which it is, some milliseconds either way:
/// the coarse path may have been led astray where a first-order step cannot bring it back. Generalised cross-correlation of three frames
/// together, weighted by signal over noise.
/// </summary>
internal sealed class LagSearch
{
    private const int Length = MapSection.LongWindowFrames;
    private const int Oversampling = 4;
    private const double ReachSeconds = 3e-3;

    // Share of the capture's power that is left: a frame in time leaves less, one that is out of time more.
    private const double Unexplained = 0.2;
    private const double LeastEvidence = 60;
    private const double LeastScore = 0.8;

    // A ringing drum fits about as well a period away: only a far better fit is believed.
    private const double LeastGain = 0.2;
    private const double PenaltyPerSecond = 60;
    private const double SoundError = 0.02;
    private const double PointSeconds = 1 / (MapSection.RateHz * Oversampling);
    private const double NearSeconds = 2e-4;

    private readonly RealTransform _forward = new(Length);
    private readonly RealTransform _inverse = new(Length * Oversampling);
    private readonly float[] _window = new float[Length];
    private readonly float[] _block = new float[Length];
    private readonly float[] _sourceRe;
    private readonly float[] _sourceIm;
    private readonly float[] _captureRe;
    private readonly float[] _captureIm;
    private readonly float[] _productRe;
    private readonly float[] _productIm;
    private readonly float[] _correlation = new float[Length * Oversampling];

    /// <summary>For frames of <see cref="MapSection.LongWindowFrames"/>.</summary>
    internal LagSearch()
    {
        Windows.Hann(_window, WindowForm.Periodic);
        var bins = _forward.BinCount;
        (_sourceRe, _sourceIm, _captureRe, _captureIm) = (new float[bins], new float[bins], new float[bins], new float[bins]);
        (_productRe, _productIm) = (new float[_inverse.BinCount], new float[_inverse.BinCount]);
    }

    /// <summary>How much later than the map says each frame should be looked for, seconds; 0 where the map is good. Null where all of it is.</summary>
    internal double[]? Find(
        FrameSums sums,
        BandPlan bands,
        LagSolver solver,
        double[] present,
        ShapedSource shaped,
        float[] along,
        NoiseModel noise
    )
    {
        double[]? shifts = null;
        var before = 0.0;
        for (var k = 0; k < sums.FrameCount; k++)
        {
            if (!IsOutOfTime(k, sums, bands, solver, present))
            {
                before = 0;
                continue;
            }
            var step = solver.Lag[k] - present[k];
            var found = Search(k, sums.FrameCount, bands, shaped, along, noise, step + before);
            if (found is not { } lag)
                continue;
            shifts ??= new double[sums.FrameCount];
            shifts[k] = lag - step;
            before = shifts[k];
        }
        return shifts;
    }

    internal static bool IsOutOfTime(int k, FrameSums sums, BandPlan bands, LagSolver solver, double[] present)
    {
        double power = 0,
            left = 0,
            evidence = 0;
        for (var b = 0; b < bands.Count; b++)
        {
            var s = sums.Of(k, b);
            evidence += s[(int)BandSum.SourcePower];
            power += s[(int)BandSum.CapturePower] - s[(int)BandSum.Hiss];
            left += LagSolver.Residual(s, solver.Gain[k], solver.StepAt(k, present[k])) - s[(int)BandSum.Hiss];
        }
        return evidence > LeastEvidence && power > 0 && left > Unexplained * power;
    }

    private double? Search(int k, int frameCount, BandPlan bands, ShapedSource shaped, float[] along, NoiseModel noise, double expected)
    {
        var scale = Correlate(k, frameCount, bands, shaped, along, noise);
        var reach = (int)(ReachSeconds / PointSeconds);
        var (best, bestScore) = (0.0, double.NegativeInfinity);
        for (var lag = -reach; lag <= reach; lag++)
        {
            var score = At(lag) * scale - PenaltyPerSecond * Math.Abs(lag * PointSeconds - expected);
            if (score > bestScore && At(lag) >= At(lag - 1) && At(lag) > At(lag + 1))
                (best, bestScore) = (lag * PointSeconds, score);
        }
        return bestScore > LeastScore && bestScore > At(0) * scale + LeastGain ? best : null;
    }

    /// <summary>How well a frame fits the source where it stands, and at best near another place; at 1 all of it fits.</summary>
    /// <param name="k">The frame.</param>
    /// <param name="frameCount">Of the grid.</param>
    /// <param name="bands">What is compared.</param>
    /// <param name="shaped">The source as the machine gives it back.</param>
    /// <param name="along">The capture along the map at the beginning of the pass.</param>
    /// <param name="noise">What is in the capture besides.</param>
    /// <param name="hereSeconds">Where it stands, against that map.</param>
    /// <param name="thereSeconds">The other place.</param>
    internal (double Here, double There) Compare(
        int k,
        int frameCount,
        BandPlan bands,
        ShapedSource shaped,
        float[] along,
        NoiseModel noise,
        double hereSeconds,
        double thereSeconds
    )
    {
        var scale = Correlate(k, frameCount, bands, shaped, along, noise);
        return (Best(hereSeconds) * scale, Best(thereSeconds) * scale);
    }

    private double Best(double aboutSeconds)
    {
        var (middle, reach) = ((int)Math.Round(aboutSeconds / PointSeconds), (int)(NearSeconds / PointSeconds));
        var best = double.NegativeInfinity;
        for (var lag = middle - reach; lag <= middle + reach; lag++)
            best = Math.Max(best, At(lag));
        return best;
    }

    /// <summary>The weighted correlation of a frame and its neighbours by lag; what makes 1 of a perfect fit.</summary>
    private double Correlate(int k, int frameCount, BandPlan bands, ShapedSource shaped, float[] along, NoiseModel noise)
    {
        Array.Clear(_productRe);
        Array.Clear(_productIm);
        double sourcePower = 1e-30,
            capturePower = 1e-30;
        for (var frame = Math.Max(0, k - 1); frame <= Math.Min(frameCount - 1, k + 1); frame++)
        {
            Transform(shaped.Sound, frame, _sourceRe, _sourceIm);
            Transform(along, frame, _captureRe, _captureIm);
            for (var j = bands.FirstBin; j < bands.EndBinExcl; j++)
            {
                var power = _sourceRe[j] * _sourceRe[j] + _sourceIm[j] * _sourceIm[j];
                var weight = 1 / (noise.HissPower[j] + (float)SoundError * power + 1e-12f);
                _productRe[j] += weight * (_captureRe[j] * _sourceRe[j] + _captureIm[j] * _sourceIm[j]);
                _productIm[j] += weight * (_captureIm[j] * _sourceRe[j] - _captureRe[j] * _sourceIm[j]);
                sourcePower += weight * power;
                capturePower += weight * (_captureRe[j] * _captureRe[j] + _captureIm[j] * _captureIm[j]);
            }
        }
        _inverse.Inverse(_productRe, _productIm, _correlation);
        return Length * Oversampling / 2.0 / Math.Sqrt(sourcePower * capturePower);
    }

    private float At(int lag) => _correlation[lag & (Length * Oversampling - 1)];

    private void Transform(ReadOnlySpan<float> signal, int frame, float[] re, float[] im)
    {
        var start = frame * (Length / 2) - Length / 2;
        var skip = Math.Clamp(-start, 0, Length);
        var count = Math.Clamp(signal.Length - start - skip, 0, Length - skip);
        Array.Clear(_block);
        for (var i = 0; i < count; i++)
            _block[skip + i] = signal[start + skip + i] * _window[skip + i];
        _forward.Forward(_block, re, im);
    }
}
