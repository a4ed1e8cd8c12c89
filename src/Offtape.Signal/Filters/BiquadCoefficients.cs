using System.Numerics;

namespace Offtape.Signal;

/// <summary>
/// One second-order section H(z) = (b0 + b1·z⁻¹ + b2·z⁻²) / (1 + a1·z⁻¹ + a2·z⁻²); a first-order section has b2 = a2 = 0.
/// </summary>
public readonly record struct BiquadCoefficients(double B0, double B1, double B2, double A1, double A2)
{
    /// <summary>Passes everything unchanged.</summary>
    public static BiquadCoefficients Unity { get; } = new(1, 0, 0, 0, 0);

    /// <summary>Both poles inside the unit circle (the stability triangle of a second-order section).</summary>
    public bool IsStable => Math.Abs(A2) < 1 && Math.Abs(A1) < 1 + A2;

    public BiquadCoefficients ScaledBy(double gainLinear) => this with { B0 = B0 * gainLinear, B1 = B1 * gainLinear, B2 = B2 * gainLinear };

    /// <summary>The complex response at a frequency; its magnitude is a linear gain.</summary>
    public Complex ResponseAt(double frequencyHz, double sampleRateHz)
    {
        var delay = Complex.FromPolarCoordinates(1, -2 * Math.PI * frequencyHz / sampleRateHz);
        return (B0 + delay * (B1 + delay * B2)) / (1 + delay * (A1 + delay * A2));
    }

    /// <summary>
    /// The bilinear transform of the analogue section (b0 + b1·s + b2·s²) / (a0 + a1·s + a2·s²), s in units of
    /// <paramref name="cornerHz"/> (s = j at the corner), prewarped so that the corner stands exactly where it was.
    /// </summary>
    /// <param name="b0">Numerator, constant term.</param>
    /// <param name="b1">Numerator, term in s.</param>
    /// <param name="b2">Numerator, term in s².</param>
    /// <param name="a0">Denominator, constant term.</param>
    /// <param name="a1">Denominator, term in s.</param>
    /// <param name="a2">Denominator, term in s²; 0 together with b2 gives a first-order section.</param>
    /// <param name="cornerHz">The frequency that s is counted in, above 0 and below half the sample rate.</param>
    /// <param name="sampleRateHz">The sample rate.</param>
    public static BiquadCoefficients Bilinear(
        double b0,
        double b1,
        double b2,
        double a0,
        double a1,
        double a2,
        double cornerHz,
        double sampleRateHz
    )
    {
        if (!(cornerHz > 0 && cornerHz < sampleRateHz / 2))
            throw new ArgumentOutOfRangeException(
                nameof(cornerHz),
                cornerHz,
                $"A corner lies above 0 and below half the sample rate of {sampleRateHz} Hz."
            );
        // s = (1 − z⁻¹) / (K·(1 + z⁻¹)), K = tan(π·corner/rate).
        var k = Math.Tan(Math.PI * cornerHz / sampleRateHz);
        if (b2 == 0 && a2 == 0)
        {
            // Without this the double zero at Nyquist would be cancelled by a pole on the unit circle.
            var firstOrder = a0 * k + a1;
            return new((b0 * k + b1) / firstOrder, (b0 * k - b1) / firstOrder, 0, (a0 * k - a1) / firstOrder, 0);
        }
        var k2 = k * k;
        var norm = a0 * k2 + a1 * k + a2;
        return new(
            (b0 * k2 + b1 * k + b2) / norm,
            2 * (b0 * k2 - b2) / norm,
            (b0 * k2 - b1 * k + b2) / norm,
            2 * (a0 * k2 - a2) / norm,
            (a0 * k2 - a1 * k + a2) / norm
        );
    }
}
