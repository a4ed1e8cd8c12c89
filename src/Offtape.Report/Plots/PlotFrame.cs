namespace Offtape.Report;

/// <summary>Where the data of a plot stand: the rectangle of the plot and the ranges of its axes.</summary>
internal readonly record struct PlotFrame(Box Area, AxisRange X, AxisRange Y)
{
    /// <summary>How far outside its area anything is drawn before it is cut off: enough for line ends, small enough for every output.</summary>
    private const double OutsidePixels = 1e4;

    public double PixelX(double value) =>
        Math.Clamp(Area.Left + X.Fraction(value) * Area.Width, Area.Left - OutsidePixels, Area.Right + OutsidePixels);

    public double PixelY(double value) =>
        Math.Clamp(Area.Bottom - Y.Fraction(value) * Area.Height, Area.Top - OutsidePixels, Area.Bottom + OutsidePixels);

    /// <summary>False where a logarithmic axis has no place for a value.</summary>
    public bool CanPlace(double x, double y) =>
        double.IsFinite(x)
        && double.IsFinite(y)
        && (X.Scale != AxisScale.Logarithmic || x > 0)
        && (Y.Scale != AxisScale.Logarithmic || y > 0);

    public Point Place(double x, double y) => new(PixelX(x), PixelY(y));
}
