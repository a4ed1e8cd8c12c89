namespace Offtape.Signal;

/// <summary>
/// The K weighting of ITU-R BS.1770-5, Annex 1: a shelf for the head's effect, then a high-pass. The Recommendation prints coefficients
/// for 48 kHz (Tables 1 and 2) and asks other rates to give the same frequency response. The printed tables are the only constants here:
/// from them the analogue sections behind the bilinear transform are recovered, and those are transformed again at the rate wanted, each
/// corner kept where it is.
/// </summary>
public static class KWeighting
{
    /// <summary>BS.1770-5 Annex 1, Table 1, at the printed precision.</summary>
    private static readonly BiquadCoefficients PrintedShelf = new(
        1.53512485958697,
        -2.69169618940638,
        1.19839281085285,
        -1.69065929318241,
        0.73248077421585
    );

    /// <summary>BS.1770-5 Annex 1, Table 2.</summary>
    private static readonly BiquadCoefficients PrintedHighPass = new(1.0, -2.0, 1.0, -1.99004745483398, 0.99007225036621);

    private const double PrintedRateHz = 48_000;

    /// <summary>The two sections, in the order of the Recommendation, for any sample rate above 4 kHz.</summary>
    public static BiquadCoefficients[] Sections(double sampleRateHz) =>
        [AtRate(PrintedShelf, sampleRateHz), AtRate(PrintedHighPass, sampleRateHz)];

    // The inverse bilinear transform: with z⁻¹ = (1 − K·s)/(1 + K·s) a polynomial c0 + c1·z⁻¹ + c2·z⁻² becomes, up to a factor common to
    // numerator and denominator, (c0 + c1 + c2) + 2·(c0 − c2)·K·s + (c0 − c1 + c2)·(K·s)². K·s is then counted in the section's own
    // corner, where the constant and the square term of the denominator are equal.
    private static BiquadCoefficients AtRate(BiquadCoefficients printed, double sampleRateHz)
    {
        var (b0, b1, b2, a1, a2) = printed;
        var (d0, d1, d2) = (1 + a1 + a2, 2 * (1 - a2), 1 - a1 + a2);
        var corner = Math.Sqrt(d0 / d2);
        var cornerHz = PrintedRateHz / Math.PI * Math.Atan(corner);
        return BiquadCoefficients.Bilinear(
            b0 + b1 + b2,
            2 * (b0 - b2) * corner,
            (b0 - b1 + b2) * corner * corner,
            d0,
            d1 * corner,
            d2 * corner * corner,
            cornerHz,
            sampleRateHz
        );
    }
}
