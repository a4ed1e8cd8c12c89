namespace Offtape.Studio;

/// <summary>
/// A straight line through figures of different days, each with its own uncertainty: weighted least squares, and how sure its slope is
/// (JCGM 100:2008, H.3 for the fit; G.3 with table G.2 for the coverage factor of few degrees of freedom). Readings count as independent; what
/// they share (one interface, one calibration) does not move a trend.
/// </summary>
internal static class TrendFit
{
    private const double CoverageFactor = 2;

    /// <summary>JCGM 100:2008, table G.2, 95 %: for 1, 2, 3 … degrees of freedom.</summary>
    private static readonly double[] _student =
    [
        12.71,
        4.30,
        3.18,
        2.78,
        2.57,
        2.45,
        2.36,
        2.31,
        2.26,
        2.23,
        2.20,
        2.18,
        2.16,
        2.14,
        2.13,
        2.12,
        2.11,
        2.10,
        2.09,
        2.09,
    ];

    /// <param name="Slope">Change of the figure a day.</param>
    /// <param name="SlopeUncertainty">Half of the interval that holds the true slope 95 times in 100.</param>
    /// <param name="Mean">The line in the middle of the days, as they weigh.</param>
    public readonly record struct Line(double Slope, double SlopeUncertainty, double Mean);

    /// <summary>Fits a line; null where there is none: fewer than two days, or two figures of unknown uncertainty.</summary>
    /// <param name="days">When, in days from any beginning.</param>
    /// <param name="values">The figures.</param>
    /// <param name="uncertainties">Expanded (coverage factor 2); null where one is not known: then the scatter about the line says it.</param>
    public static Line? Fit(ReadOnlySpan<double> days, ReadOnlySpan<double> values, ReadOnlySpan<double?> uncertainties)
    {
        var count = days.Length;
        var isKnown = true;
        foreach (var uncertainty in uncertainties)
            isKnown &= uncertainty is > 0 and < double.PositiveInfinity;
        if (count < 2 || (count < 3 && !isKnown))
            return null;
        var weights = new double[count];
        for (var i = 0; i < count; i++)
            weights[i] = isKnown ? Square(CoverageFactor / uncertainties[i]!.Value) : 1;
        double sum = 0,
            meanDay = 0,
            mean = 0;
        for (var i = 0; i < count; i++)
        {
            sum += weights[i];
            meanDay += weights[i] * days[i];
            mean += weights[i] * values[i];
        }
        meanDay /= sum;
        mean /= sum;
        double across = 0,
            along = 0;
        for (var i = 0; i < count; i++)
        {
            along += weights[i] * Square(days[i] - meanDay);
            across += weights[i] * (days[i] - meanDay) * (values[i] - mean);
        }
        if (along <= 0)
            return null;
        var slope = across / along;
        double misfit = 0;
        for (var i = 0; i < count; i++)
            misfit += weights[i] * Square(values[i] - mean - slope * (days[i] - meanDay));
        return new Line(slope, Uncertainty(along, misfit, count - 2, isKnown), mean);
    }

    /// <summary>Where the figures scatter more than their uncertainties let expect, the scatter counts.</summary>
    private static double Uncertainty(double along, double misfit, int freedom, bool isKnown)
    {
        var known = isKnown ? CoverageFactor / Math.Sqrt(along) : 0;
        if (freedom < 1)
            return known;
        var scattered = misfit / freedom;
        return !isKnown || scattered > 1 ? Math.Max(known, Student(freedom) * Math.Sqrt(scattered / along)) : known;
    }

    private static double Student(int freedom) => _student[Math.Min(freedom, _student.Length) - 1];

    private static double Square(double x) => x * x;
}
