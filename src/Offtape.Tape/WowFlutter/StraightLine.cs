namespace Offtape.Tape;

/// <summary>The straight line through a curve of equally spaced values by least squares.</summary>
/// <param name="Middle">Its value in the middle: the mean.</param>
/// <param name="Rise">Its change from the first value to the last.</param>
public readonly record struct StraightLine(double Middle, double Rise)
{
    public static StraightLine Through(ReadOnlySpan<double> values)
    {
        var centre = (values.Length - 1) / 2.0;
        var (sum, tilt, spread) = (0.0, 0.0, 0.0);
        for (var i = 0; i < values.Length; i++)
        {
            sum += values[i];
            tilt += values[i] * (i - centre);
            spread += (i - centre) * (i - centre);
        }
        return new(sum / Math.Max(1, values.Length), spread > 0 ? tilt / spread * (values.Length - 1) : 0);
    }

    /// <summary>What is left when the line is taken away.</summary>
    public static double[] Without(ReadOnlySpan<double> values)
    {
        var (middle, rise) = Through(values);
        var rest = new double[values.Length];
        for (var i = 0; i < rest.Length; i++)
            rest[i] = values[i] - middle - rise * (values.Length > 1 ? i / (values.Length - 1.0) - 0.5 : 0);
        return rest;
    }
}
