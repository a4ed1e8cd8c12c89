namespace Offtape.Bench;

/// <summary>What several readings of one quantity say together (JCGM 100:2008, 4.2 and annex G).</summary>
internal static class Repeats
{
    /// <summary>Mean and its expanded uncertainty, 95 %; not a number for fewer than two values.</summary>
    internal static (double Mean, double Expanded) Of(ReadOnlySpan<double> values)
    {
        var mean = 0.0;
        foreach (var value in values)
            mean += value / values.Length;
        if (values.Length < 2)
            return (mean, double.NaN);
        var squares = 0.0;
        foreach (var value in values)
            squares += (value - mean) * (value - mean);
        var degrees = values.Length - 1;
        return (mean, StudentT(degrees) * Math.Sqrt(squares / degrees / values.Length));
    }

    /// <summary>
    /// Student's t for 95 % both ways: by its expansion about the normal distribution (Abramowitz and Stegun 26.7.5), good to 0.5 % from
    /// 3 degrees of freedom up; printed values below that.
    /// </summary>
    internal static double StudentT(int degrees)
    {
        if (degrees <= 2)
            return degrees <= 1 ? 12.71 : 4.303;
        const double x = 1.959964;
        const double x2 = x * x;
        double n = degrees;
        return x
            * (
                1
                + (x2 + 1) / (4 * n)
                + ((5 * x2 + 16) * x2 + 3) / (96 * n * n)
                + (((3 * x2 + 19) * x2 + 17) * x2 - 15) / (384 * n * n * n)
                + ((((79 * x2 + 776) * x2 + 1482) * x2 - 1920) * x2 - 945) / (92_160 * n * n * n * n)
            );
    }

    /// <summary>Expanded uncertainty of a level in dB from a relative one of power.</summary>
    internal static double PowerToDb(double relativeExpanded) => 10 / Math.Log(10) * relativeExpanded;
}
