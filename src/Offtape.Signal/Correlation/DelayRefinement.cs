namespace Offtape.Signal;

/// <summary>
/// The fine half of the delay estimator. Both windows are faded and laid over the same piece of sound, so that what enters at one edge of
/// the window and leaves at the other does not pull the peak; then R(τ) = Re Σ G[k]·e^(iω[k]τ) is maximised exactly.
/// </summary>
internal sealed class DelayRefinement
{
    private const int NewtonSteps = 8;
    private const double SmallestStepFrames = 1e-7;

    private readonly DelayEstimatorOptions options;
    private readonly RealTransform transform;
    private readonly float[] fade;
    private readonly float[] weights;
    private readonly float[] padded;
    private readonly float[] xRe;
    private readonly float[] xIm;
    private readonly float[] gRe;
    private readonly float[] gIm;
    private readonly double binCorrelation;

    public DelayRefinement(DelayEstimatorOptions options)
    {
        this.options = options;
        transform = new RealTransform(TransformLength.AtLeast(options.WindowFrames));
        fade = Fade(options.WindowFrames, options.EdgeTaper);
        weights = SpectralWeights.Band(options, transform.Length);
        padded = new float[transform.Length];
        xRe = new float[transform.BinCount];
        xIm = new float[transform.BinCount];
        gRe = new float[transform.BinCount];
        gIm = new float[transform.BinCount];
        // Fading and zero padding make neighbouring bins depend on each other: with ρ(Δ) the spectrum of fade², normalised, the noise of a
        // product of two faded signals has the correlation ρ², and Σρ² = M·Σfade⁴ ÷ (Σfade²)² by Parseval's theorem.
        var (second, fourth) = (0.0, 0.0);
        foreach (double value in fade)
        {
            second += value * value;
            fourth += value * value * value * value;
        }
        binCorrelation = transform.Length * fourth / (second * second);
    }

    /// <summary>Square root of a window with raised-cosine ends, so that the product of two faded signals has the raised-cosine ends.</summary>
    public static float[] Fade(int frameCount, double edgeTaper)
    {
        var values = new float[frameCount];
        var edge = Math.Clamp(edgeTaper, 0, 1) * frameCount / 2;
        for (var i = 0; i < frameCount; i++)
        {
            var fromEnd = Math.Min(i, frameCount - 1 - i) + 0.5;
            values[i] = fromEnd >= edge ? 1 : (float)Math.Sin(Math.PI / 2 * fromEnd / edge);
        }
        return values;
    }

    public void SetReference(ReadOnlySpan<float> reference) => Transform(reference, xRe, xIm);

    public DelayPeak Refine(ReadOnlySpan<float> other, double coarseLagFrames, int polarity)
    {
        var wholeFrames = (int)Math.Round(coarseLagFrames);
        Transform(other.Slice(options.MaxLagFrames + wholeFrames, options.WindowFrames), gRe, gIm);
        SpectralWeights.CrossSpectrum(xRe, xIm, gRe, gIm, weights, options.WhiteningExponent);

        var fraction = coarseLagFrames - wholeFrames;
        var sums = Evaluate(fraction, polarity);
        for (var step = 0; step < NewtonSteps; step++)
        {
            // Not on the crest: go uphill by the most that keeps a narrow peak in sight.
            var move = sums.Curvature < 0 ? -sums.Slope / sums.Curvature : Math.Sign(sums.Slope) * 0.25;
            move = Math.Clamp(move, -0.25, 0.25);
            fraction += move;
            sums = Evaluate(fraction, polarity);
            if (Math.Abs(move) < SmallestStepFrames)
                break;
        }
        if (!(sums.Magnitude > 0) || sums.Curvature >= 0)
            return default;
        return new DelayPeak(
            wholeFrames + fraction,
            polarity,
            sums.Value / sums.Magnitude,
            sums.Value / Math.Sqrt(0.5 * sums.Power * binCorrelation),
            Math.Sqrt(sums.SlopeScatter * binCorrelation) / -sums.Curvature
        );
    }

    private void Transform(ReadOnlySpan<float> signal, float[] re, float[] im)
    {
        padded.AsSpan(signal.Length).Clear();
        for (var i = 0; i < signal.Length; i++)
            padded[i] = signal[i] * fade[i];
        transform.Forward(padded, re, im);
    }

    // R and its derivatives by τ, with what is needed for the statistics, all from one walk over the bins.
    private Sums Evaluate(double lagFrames, int polarity)
    {
        var sums = default(Sums);
        var angularStep = 2 * Math.PI / transform.Length;
        var (turnIm, turnRe) = Math.SinCos(angularStep * lagFrames);
        var (re, im) = (1.0, 0.0);
        for (var k = 0; k < weights.Length; k++)
        {
            // The turning pointer is set right every 64 bins: its error stays near 1e-14.
            if (k % 64 == 0)
                (im, re) = Math.SinCos(angularStep * k * lagFrames);
            var omega = angularStep * k;
            var inPhase = polarity * (gRe[k] * re - gIm[k] * im);
            var outOfPhase = polarity * (gRe[k] * im + gIm[k] * re);
            sums.Value += inPhase;
            sums.Slope -= omega * outOfPhase;
            sums.Curvature -= omega * omega * inPhase;
            sums.SlopeScatter += omega * omega * outOfPhase * outOfPhase;
            var power = inPhase * inPhase + outOfPhase * outOfPhase;
            sums.Power += power;
            sums.Magnitude += Math.Sqrt(power);
            (re, im) = (re * turnRe - im * turnIm, re * turnIm + im * turnRe);
        }
        return sums;
    }

    private struct Sums
    {
        public double Value;
        public double Slope;
        public double Curvature;
        public double SlopeScatter;
        public double Power;
        public double Magnitude;
    }
}
