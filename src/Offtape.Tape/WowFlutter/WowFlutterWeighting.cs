using System.Numerics;
using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Tape;

/// <summary>
/// The frequency weighting of wow and flutter: AES6-2008 Table 1, the same as IEC 60386 Table I. <see cref="Table"/> is the published
/// curve; <see cref="GainDbAt"/> and <see cref="DesignFilter"/> realise it by five poles, least-squares fitted to the table: within 0.3 dB of
/// every row from 0.1 to 200 Hz (the standard's tolerance is ±2 dB in the middle and ±4 dB at the ends). As a filter it keeps to the curve
/// within 0.1 dB at 2000 values a second or more, and within 0.4 dB (at 200 Hz) at 1000.
/// </summary>
public static class WowFlutterWeighting
{
    /// <summary>The lowest rate at which a curve of speed holds the table's range with room for a filter.</summary>
    public const double LowestRateHz = 1000;

    // Corner frequencies in Hz of the fit, and the Q of the second-order high-pass.
    private const double HighPassHz = 0.44021959;
    private const double HighPassQ = 0.68189268;
    private const double FirstHighPassHz = 1.58083012;
    private const double LowPassHz = 37.95135696;
    private const double ShelfZeroHz = 26.39947398;
    private const double ShelfPoleHz = 8.34348395;

    private const double ReferenceHz = 4;

    /// <summary>
    /// Frequency in Hz and gain in dB as published. The row at 63 Hz stands as −14.2 in one copy and −13.7 in others; the second
    /// is kept here because only it falls evenly with its neighbours. The row at 0.1 Hz is from one copy.
    /// </summary>
    public static IReadOnlyList<(double FrequencyHz, double GainDb)> Table { get; } =
    [
        (0.1, -48.0),
        (0.2, -30.6),
        (0.315, -19.7),
        (0.4, -15.0),
        (0.63, -8.4),
        (0.8, -6.0),
        (1.0, -4.2),
        (1.6, -1.8),
        (2.0, -0.9),
        (4.0, 0),
        (6.3, -0.9),
        (10, -2.1),
        (20, -5.9),
        (40, -10.4),
        (63, -13.7),
        (100, -17.3),
        (200, -23.0),
    ];

    /// <summary>The gain of the realised curve; 0 dB at 4 Hz, −∞ at 0.</summary>
    public static double GainDbAt(double frequencyHz) =>
        Conversions.AmplitudeToDb((Response(frequencyHz) / Response(ReferenceHz)).Magnitude);

    /// <summary>The curve as filter sections for a speed curve sampled at <paramref name="rateHz"/>.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The rate is below <see cref="LowestRateHz"/>.</exception>
    public static BiquadCoefficients[] DesignFilter(double rateHz)
    {
        if (!(rateHz >= LowestRateHz))
            throw new ArgumentOutOfRangeException(nameof(rateHz), rateHz, $"A speed curve needs at least {LowestRateHz} values a second.");
        BiquadCoefficients[] sections =
        [
            BiquadCoefficients.Bilinear(0, 0, 1, 1, 1 / HighPassQ, 1, HighPassHz, rateHz),
            BiquadCoefficients.Bilinear(0, 1, 0, 1, 1, 0, FirstHighPassHz, rateHz),
            Matched(rateHz),
        ];
        var gain = 1.0;
        foreach (var section in sections)
            gain *= section.ResponseAt(ReferenceHz, rateHz).Magnitude;
        sections[0] = sections[0].ScaledBy(1 / gain);
        return sections;
    }

    private static Complex Response(double frequencyHz) => HighPass(new Complex(0, frequencyHz)) * Fall(frequencyHz);

    private static Complex HighPass(Complex s) =>
        s * s / (s * s + s * HighPassHz / HighPassQ + HighPassHz * HighPassHz) * (s / (s + FirstHighPassHz));

    // The part that falls towards flutter.
    private static Complex Fall(double frequencyHz)
    {
        var s = new Complex(0, frequencyHz);
        return (1 + s / ShelfZeroHz) / ((1 + s / LowPassHz) * (1 + s / ShelfPoleHz));
    }

    /// <summary>
    /// The falling part with its poles mapped exactly, and its zeros placed so that the gain is exact at 0, at 63 Hz and at half of the
    /// rate: a bilinear section would bend down towards half the rate, where flutter still counts. After M. Vicanek, "Matched Second Order
    /// Digital Filters" (2016), whose letters these are.
    /// </summary>
    private static BiquadCoefficients Matched(double rateHz)
    {
        var p1 = Math.Exp(-2 * Math.PI * LowPassHz / rateHz);
        var p2 = Math.Exp(-2 * Math.PI * ShelfPoleHz / rateHz);
        var (a1, a2) = (-(p1 + p2), p1 * p2);
        const double middleHz = 63;
        var turn = Complex.FromPolarCoordinates(1, -2 * Math.PI * middleHz / rateHz);
        // |B|² = B0·φ0 + B1·φ1 + B2·φ2 with φ1 = sin²(ω/2), φ0 = 1 − φ1, φ2 = 4·φ0·φ1.
        var phi1 = Math.Pow(Math.Sin(Math.PI * middleHz / rateHz), 2);
        var phi0 = 1 - phi1;
        var b0Squared = Math.Pow(1 + a1 + a2, 2);
        var b1Squared = Math.Pow((1 - a1 + a2) * Fall(rateHz / 2).Magnitude, 2);
        var wanted = Math.Pow((1 + turn * (a1 + turn * a2)).Magnitude * Fall(middleHz).Magnitude, 2);
        var b2Squared = (wanted - b0Squared * phi0 - b1Squared * phi1) / (4 * phi0 * phi1);
        var (root0, root1) = (Math.Sqrt(b0Squared), Math.Sqrt(b1Squared));
        var w = (root0 + root1) / 2;
        var b0 = (w + Math.Sqrt(w * w + b2Squared)) / 2;
        return new(b0, (root0 - root1) / 2, -b2Squared / (4 * b0), a1, a2);
    }
}
