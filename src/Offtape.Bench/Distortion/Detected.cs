namespace Offtape.Bench;

/// <summary>
/// The uncertainty of what is stated only where it stands clear of the noise. Just above that border it was probably the noise that lifted it
/// there, and the truth may be anything below: the interval is that of all truths which, being stated at all, would be read so high with a
/// chance of more than 2.5 %: that is conditional on having been stated, by the normal distribution.
/// </summary>
internal static class Detected
{
    private const double OneSided = 0.025;

    /// <param name="value">What was read, above <paramref name="border"/>.</param>
    /// <param name="sigma">Its standard uncertainty by noise.</param>
    /// <param name="border">Below this nothing is stated.</param>
    /// <returns>Expanded uncertainty: 2σ far above the border, all of the value close to it.</returns>
    internal static double Expanded(double value, double sigma, double border)
    {
        if (!(sigma > 0) || !(value > border))
            return 2 * sigma;
        var (low, high) = (0.0, value);
        for (var i = 0; i < 40; i++)
        {
            var truth = (low + high) / 2;
            if (Above((value - truth) / sigma) / Above((border - truth) / sigma) < OneSided)
                low = truth;
            else
                high = truth;
        }
        return Math.Max(2 * sigma, value - high);
    }

    /// <summary>Chance of a normal value above so many standard deviations (Abramowitz and Stegun 26.2.17, to 7.5e-8).</summary>
    private static double Above(double z)
    {
        if (z < 0)
            return 1 - Above(-z);
        var t = 1 / (1 + 0.2316419 * z);
        var sum = t * (0.319381530 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
        return Math.Exp(-z * z / 2) / Math.Sqrt(2 * Math.PI) * sum;
    }
}
