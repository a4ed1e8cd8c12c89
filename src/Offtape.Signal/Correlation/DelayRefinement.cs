using System.Numerics;

namespace Offtape.Signal;

/// <summary>
/// The fine half of the delay estimator. Both windows are faded and laid over the same piece of sound, to a fraction of a frame, so that
/// what enters at one edge of the window and leaves at the other does not pull the peak (between whole frames it would, and stand far above
/// the bound at 40 dB); then R(τ) = Re Σ G[k]·e^(iω[k]τ) is maximised exactly.
/// </summary>
internal sealed class DelayRefinement
{
    private const int NewtonSteps = 8;
    private const double LargestStepFrames = 0.25;
    private const double SmallestStepFrames = 1e-7;

    private readonly DelayEstimatorOptions options;
    private readonly RealTransform transform;
    private readonly RealTransform otherTransform;
    private readonly float[] fade;
    private readonly float[] weights;
    private readonly float[] padded;
    private readonly float[] otherPadded;
    private readonly float[] otherRe;
    private readonly float[] otherIm;
    private readonly float[] turnedRe;
    private readonly float[] turnedIm;
    private readonly float[] xRe;
    private readonly float[] xIm;
    private readonly float[] gRe;
    private readonly float[] gIm;
    private readonly double binCorrelation;

    public DelayRefinement(DelayEstimatorOptions options)
    {
        this.options = options;
        transform = new RealTransform(SpectralWeights.TransformLengthFor(options.WindowFrames));
        fade = Fade(options.WindowFrames, options.EdgeTaper);
        weights = SpectralWeights.Band(options, transform.Length);
        padded = new float[transform.Length];
        otherTransform = new RealTransform(SpectralWeights.TransformLengthFor(options.WindowFrames + 2 * options.MaxLagFrames));
        otherPadded = new float[otherTransform.Length];
        otherRe = new float[otherTransform.BinCount];
        otherIm = new float[otherTransform.BinCount];
        turnedRe = new float[otherTransform.BinCount];
        turnedIm = new float[otherTransform.BinCount];
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

    public void SetSignals(ReadOnlySpan<float> reference, ReadOnlySpan<float> other)
    {
        Transform(reference, xRe, xIm);
        otherPadded.AsSpan(other.Length).Clear();
        other.CopyTo(otherPadded);
        otherTransform.Forward(otherPadded, otherRe, otherIm);
    }

    public DelayPeak Refine(double coarseLagFrames, int polarity)
    {
        var wholeFrames = (int)Math.Round(coarseLagFrames);
        var fraction = coarseLagFrames - wholeFrames;
        // Once to learn the fraction, and once with the other signal moved by it: what is left is then next to nothing.
        Climb(wholeFrames, 0, ref fraction, polarity);
        var rest = 0.0;
        var sums = Climb(wholeFrames, fraction, ref rest, polarity);
        if (!(sums.Magnitude > 0) || sums.Curvature >= 0)
            return default;
        return new DelayPeak(
            wholeFrames + fraction + rest,
            polarity,
            sums.Value / sums.Magnitude,
            sums.Value / Math.Sqrt(0.5 * sums.Power * binCorrelation),
            Math.Sqrt(sums.SlopeScatter * binCorrelation) / -sums.Curvature
        );
    }

    // Newton's method from a lag, against the piece of the other signal that begins wholeFrames + movedFrames late.
    private Sums Climb(int wholeFrames, double movedFrames, ref double lagFrames, int polarity)
    {
        Advance(movedFrames);
        Transform(otherPadded.AsSpan(options.MaxLagFrames + wholeFrames, options.WindowFrames), gRe, gIm);
        SpectralWeights.CrossSpectrum(xRe, xIm, gRe, gIm, weights, options.WhiteningExponent);
        var sums = Evaluate(lagFrames, polarity);
        for (var step = 0; step < NewtonSteps; step++)
        {
            // Not on the crest: go uphill by the most that keeps a narrow peak in sight.
            var move = sums.Curvature < 0 ? -sums.Slope / sums.Curvature : Math.Sign(sums.Slope) * LargestStepFrames;
            move = Math.Clamp(move, -LargestStepFrames, LargestStepFrames);
            lagFrames += move;
            sums = Evaluate(lagFrames, polarity);
            if (Math.Abs(move) < SmallestStepFrames)
                break;
        }
        return sums;
    }

    // The other signal, read a fraction of a frame later: its spectrum turned.
    private void Advance(double frames)
    {
        var turn = new TurningVector(2 * Math.PI * frames / otherTransform.Length);
        var (last, width) = (otherRe.Length - 1, Vector<double>.Count);
        for (var k = 0; k < last; k += 2 * width)
        {
            Vector.Widen(new Vector<float>(otherRe, k), out var reLow, out var reHigh);
            Vector.Widen(new Vector<float>(otherIm, k), out var imLow, out var imHigh);
            var (lowRe, lowIm) = turn.Next();
            var (highRe, highIm) = turn.Next();
            Vector.Narrow(reLow * lowRe - imLow * lowIm, reHigh * highRe - imHigh * highIm).CopyTo(turnedRe, k);
            Vector.Narrow(reLow * lowIm + imLow * lowRe, reHigh * highIm + imHigh * highRe).CopyTo(turnedIm, k);
        }
        // The Nyquist bin stays real: what a half-sample movement does to it is its cosine.
        turnedRe[last] = (float)(otherRe[last] * Math.Cos(Math.PI * frames));
        otherTransform.Inverse(turnedRe, turnedIm, otherPadded);
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
        var (value, slope, curvature) = (Vector<double>.Zero, Vector<double>.Zero, Vector<double>.Zero);
        var (scatter, power, magnitude) = (Vector<double>.Zero, Vector<double>.Zero, Vector<double>.Zero);
        var angularStep = 2 * Math.PI / transform.Length;
        var turn = new TurningVector(angularStep * lagFrames);
        var width = Vector<double>.Count;
        var omega = Vector.CreateSequence(0.0, angularStep);
        var omegaStep = new Vector<double>(angularStep * width);
        // The last bin has no weight; the others are a whole number of vectors.
        for (var k = 0; k < weights.Length - 1; k += 2 * width)
        {
            Vector.Widen(new Vector<float>(gRe, k), out var reLow, out var reHigh);
            Vector.Widen(new Vector<float>(gIm, k), out var imLow, out var imHigh);
            Add(reLow, imLow);
            Add(reHigh, imHigh);
        }
        return new Sums(
            polarity * Vector.Sum(value),
            polarity * Vector.Sum(slope),
            polarity * Vector.Sum(curvature),
            Vector.Sum(scatter),
            Vector.Sum(power),
            Vector.Sum(magnitude)
        );

        void Add(Vector<double> re, Vector<double> im)
        {
            var (turnRe, turnIm) = turn.Next();
            var inPhase = re * turnRe - im * turnIm;
            var outOfPhase = re * turnIm + im * turnRe;
            var slopeTerm = omega * outOfPhase;
            value += inPhase;
            slope -= slopeTerm;
            curvature -= omega * omega * inPhase;
            scatter += slopeTerm * slopeTerm;
            var square = inPhase * inPhase + outOfPhase * outOfPhase;
            power += square;
            magnitude += Vector.SquareRoot(square);
            omega += omegaStep;
        }
    }

    /// <param name="Value">R.</param>
    /// <param name="Slope">R′.</param>
    /// <param name="Curvature">R″.</param>
    /// <param name="SlopeScatter">Σ(ω·Im G)², Im against the phase at the lag.</param>
    /// <param name="Power">Σ|G|².</param>
    /// <param name="Magnitude">Σ|G|.</param>
    private readonly record struct Sums(double Value, double Slope, double Curvature, double SlopeScatter, double Power, double Magnitude);
}
