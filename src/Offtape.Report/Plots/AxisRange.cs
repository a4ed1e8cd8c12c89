namespace Offtape.Report;

/// <summary>The two ends of an axis and where a value lies between them.</summary>
internal readonly record struct AxisRange(double Min, double Max, AxisScale Scale)
{
    /// <summary>The finest range drawn, relative to the values themselves: finer, and doubles show as steps.</summary>
    private const double FinestRelativeSpan = 1e-9;

    public double Span => Max - Min;

    /// <summary>0 at the lower end, 1 at the upper; outside these for values outside.</summary>
    public double Fraction(double value) =>
        Scale == AxisScale.Logarithmic ? Math.Log(value / Min) / Math.Log(Max / Min) : (value - Min) / (Max - Min);

    public double Value(double fraction) =>
        Scale == AxisScale.Logarithmic ? Min * Math.Pow(Max / Min, fraction) : Min + fraction * (Max - Min);

    public bool Holds(double value) => value >= Min && value <= Max;

    /// <summary>What an axis shows: what was asked for, else all of the data with a margin of the given fraction at both ends.</summary>
    public static AxisRange For(Axis axis, Extent data, double marginFraction)
    {
        var isLog = axis.Scale == AxisScale.Logarithmic;
        if (axis is { Min: { } low, Max: { } high } && !(low < high))
            throw new ArgumentException($"The axis \"{axis.Name}\" ends at {high}, which is not above its beginning at {low}.");
        if (isLog && (axis.Min is <= 0 || axis.Max is <= 0))
            throw new ArgumentException($"The logarithmic axis \"{axis.Name}\" must begin and end above zero.");

        var (min, max) = data.IsEmpty ? (isLog ? (20, 20_000) : (0.0, 1.0)) : (data.Min, data.Max);
        if (isLog && min <= 0)
            (min, max) = (20, Math.Max(max, 20_000));
        min = axis.Min ?? Math.Min(min, axis.Max ?? max);
        max = axis.Max ?? Math.Max(max, min);
        if (isLog)
            return max > min * (1 + FinestRelativeSpan) ? new AxisRange(min, max, axis.Scale) : Widened(axis, min, max);

        if (!(max - min > Math.Max(Math.Abs(min), Math.Abs(max)) * FinestRelativeSpan))
            return Widened(axis, min, max);
        var margin = (max - min) * marginFraction;
        return new AxisRange(axis.Min ?? min - margin, axis.Max ?? max + margin, axis.Scale);
    }

    // One value only: some room on both sides of it, but never past an end that was asked for.
    private static AxisRange Widened(Axis axis, double min, double max)
    {
        if (axis.Scale == AxisScale.Logarithmic)
            return new AxisRange(axis.Min ?? min / 2, axis.Max ?? max * 2, axis.Scale);
        var room = Math.Max(Math.Max(Math.Abs(min), Math.Abs(max)) * 0.1, min == 0 && max == 0 ? 1 : 1e-12);
        return new AxisRange(axis.Min ?? min - room, axis.Max ?? max + room, axis.Scale);
    }
}

/// <summary>The least and the greatest of some values; NaN and infinity are passed over.</summary>
internal readonly record struct Extent(double Min, double Max)
{
    public static readonly Extent None = new(double.PositiveInfinity, double.NegativeInfinity);

    public bool IsEmpty => !(Min <= Max);

    public Extent With(double value) => double.IsFinite(value) ? new Extent(Math.Min(Min, value), Math.Max(Max, value)) : this;

    public Extent With(Extent other) => new(Math.Min(Min, other.Min), Math.Max(Max, other.Max));

    public static Extent Of(ReadOnlySpan<double> values, bool aboveZeroOnly = false)
    {
        var extent = None;
        foreach (var value in values)
        {
            if (!aboveZeroOnly || value > 0)
                extent = extent.With(value);
        }
        return extent;
    }
}
