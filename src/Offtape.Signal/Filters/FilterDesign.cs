namespace Offtape.Signal;

/// <summary>
/// Filters designed in double precision from their analogue forms by the prewarped bilinear transform. Steep filters come as cascades of
/// sections, in the order of falling damping.
/// </summary>
public static class FilterDesign
{
    /// <summary>Butterworth low-pass: −3.01 dB at the cut-off, 6 dB an octave for each order above it.</summary>
    /// <param name="order">1 to 64.</param>
    /// <param name="cutoffHz">Above 0 and below half the sample rate.</param>
    /// <param name="sampleRateHz">The sample rate.</param>
    public static BiquadCoefficients[] ButterworthLowPass(int order, double cutoffHz, double sampleRateHz) =>
        Butterworth(
            order,
            damping => BiquadCoefficients.Bilinear(1, 0, 0, 1, damping, 1, cutoffHz, sampleRateHz),
            () => BiquadCoefficients.Bilinear(1, 0, 0, 1, 1, 0, cutoffHz, sampleRateHz)
        );

    /// <summary>Butterworth high-pass: −3.01 dB at the cut-off, 6 dB an octave for each order below it.</summary>
    /// <param name="order">1 to 64.</param>
    /// <param name="cutoffHz">Above 0 and below half the sample rate.</param>
    /// <param name="sampleRateHz">The sample rate.</param>
    public static BiquadCoefficients[] ButterworthHighPass(int order, double cutoffHz, double sampleRateHz) =>
        Butterworth(
            order,
            damping => BiquadCoefficients.Bilinear(0, 0, 1, 1, damping, 1, cutoffHz, sampleRateHz),
            () => BiquadCoefficients.Bilinear(0, 1, 0, 1, 1, 0, cutoffHz, sampleRateHz)
        );

    /// <summary>First-order low-pass of a time constant: 1 / (1 + s·τ), the corner 1/(2πτ) kept exact.</summary>
    public static BiquadCoefficients FirstOrderLowPass(double cutoffHz, double sampleRateHz) =>
        BiquadCoefficients.Bilinear(1, 0, 0, 1, 1, 0, cutoffHz, sampleRateHz);

    /// <summary>First-order high-pass: s / (1 + s).</summary>
    public static BiquadCoefficients FirstOrderHighPass(double cutoffHz, double sampleRateHz) =>
        BiquadCoefficients.Bilinear(0, 1, 0, 1, 1, 0, cutoffHz, sampleRateHz);

    /// <summary>Second-order band-pass with a gain of 1 at its centre; bandwidth at −3.01 dB is centre/Q (exact in analogue).</summary>
    public static BiquadCoefficients BandPass(double centreHz, double q, double sampleRateHz) =>
        BiquadCoefficients.Bilinear(0, 1 / Positive(q), 0, 1, 1 / q, 1, centreHz, sampleRateHz);

    /// <summary>Second-order notch: 0 at its centre, 1 far from it.</summary>
    public static BiquadCoefficients Notch(double centreHz, double q, double sampleRateHz) =>
        BiquadCoefficients.Bilinear(1, 0, 1, 1, 1 / Positive(q), 1, centreHz, sampleRateHz);

    /// <summary>
    /// Peaking section: the gain at its centre, 0 dB far from it. A boost and a cut of the same size undo each other exactly:
    /// H(s) = (s² + s·√g/Q + 1) / (s² + s/(√g·Q) + 1).
    /// </summary>
    public static BiquadCoefficients Peaking(double centreHz, double gainDb, double q, double sampleRateHz)
    {
        var root = Math.Sqrt(Base.Conversions.DbToAmplitude(gainDb));
        return BiquadCoefficients.Bilinear(1, root / Positive(q), 1, 1, 1 / (root * q), 1, centreHz, sampleRateHz);
    }

    /// <summary>
    /// Second-order low shelf: the gain at 0 Hz, 0 dB at Nyquist, half the gain in dB at the corner. Q of 1/√2 gives the steepest
    /// monotonic slope.
    /// </summary>
    public static BiquadCoefficients LowShelf(double cornerHz, double gainDb, double sampleRateHz, double q = ButterworthQ)
    {
        // H(s) = √g·(s² + s·r/Q + √g) / (√g·s² + s·r/Q + 1), r = g^(1/4): value √g at s = j.
        var root = Math.Sqrt(Base.Conversions.DbToAmplitude(gainDb));
        var damping = Math.Sqrt(root) / Positive(q);
        return BiquadCoefficients.Bilinear(root * root, root * damping, root, 1, damping, root, cornerHz, sampleRateHz);
    }

    /// <summary>Second-order high shelf: 0 dB at 0 Hz, the gain at Nyquist, half the gain in dB at the corner.</summary>
    public static BiquadCoefficients HighShelf(double cornerHz, double gainDb, double sampleRateHz, double q = ButterworthQ)
    {
        var root = Math.Sqrt(Base.Conversions.DbToAmplitude(gainDb));
        var damping = Math.Sqrt(root) / Positive(q);
        return BiquadCoefficients.Bilinear(root, root * damping, root * root, root, damping, 1, cornerHz, sampleRateHz);
    }

    /// <summary>
    /// First-order shelf from one gain at 0 Hz to another at Nyquist; halfway between them in dB at the corner. As equalisation by two time
    /// constants is: their corners lie at corner·(high/low)^(±1/2).
    /// </summary>
    public static BiquadCoefficients FirstOrderShelf(double cornerHz, double lowGainDb, double highGainDb, double sampleRateHz)
    {
        var low = Base.Conversions.DbToAmplitude(lowGainDb);
        var high = Base.Conversions.DbToAmplitude(highGainDb);
        // H(s) = (low·p + high·s) / (p + s) is √(low·high) at s = j when p = √(high/low).
        var pole = Math.Sqrt(high / low);
        return BiquadCoefficients.Bilinear(low * pole, high, 0, pole, 1, 0, cornerHz, sampleRateHz);
    }

    /// <summary>Q of a second-order Butterworth section, 1/√2.</summary>
    public const double ButterworthQ = 0.70710678118654752440;

    private static BiquadCoefficients[] Butterworth(int order, Func<double, BiquadCoefficients> pair, Func<BiquadCoefficients> single)
    {
        if (order is < 1 or > 64)
            throw new ArgumentOutOfRangeException(nameof(order), order, "An order lies between 1 and 64.");
        var sections = new BiquadCoefficients[(order + 1) / 2];
        // Poles at angles π/2·(1 + (2k + 1)/order) on the unit circle: each conjugate pair is s² + 2·sin(π(2k+1)/(2·order))·s + 1.
        for (var k = 0; k < order / 2; k++)
            sections[sections.Length - 1 - k] = pair(2 * Math.Sin(Math.PI * (2 * k + 1) / (2.0 * order)));
        if (order % 2 == 1)
            sections[0] = single();
        return sections;
    }

    private static double Positive(double q) =>
        q > 0 && double.IsFinite(q) ? q : throw new ArgumentOutOfRangeException(nameof(q), q, "A Q is above 0.");
}
