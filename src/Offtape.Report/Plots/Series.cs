namespace Offtape.Report;

/// <summary>One thing drawn in a plot. Values that are not finite are passed over and break a line.</summary>
/// <param name="Label">What it is, in a word or two; empty where the title says it already.</param>
public abstract record Series(string Label)
{
    public InkRole Ink { get; init; } = InkRole.Accent;

    internal abstract Extent ExtentX(bool aboveZeroOnly);

    internal abstract Extent ExtentY(bool aboveZeroOnly);

    private protected static void MustMatch(int count, int other, string label)
    {
        if (count != other)
            throw new ArgumentException($"The series \"{label}\" has {count} places and {other} values.");
    }
}

/// <summary>Values joined by a line.</summary>
public sealed record LineSeries : Series
{
    public LineSeries(string label, double[] x, double[] y)
        : base(label)
    {
        MustMatch(x.Length, y.Length, label);
        (X, Y) = (x, y);
    }

    public double[] X { get; }

    public double[] Y { get; }

    public bool IsDashed { get; init; }

    internal override Extent ExtentX(bool aboveZeroOnly) => Extent.Of(X, aboveZeroOnly);

    internal override Extent ExtentY(bool aboveZeroOnly) => Extent.Of(Y, aboveZeroOnly);
}

/// <summary>A band between two curves: what a value may be, with a stated confidence.</summary>
public sealed record BandSeries : Series
{
    public BandSeries(string label, double[] x, double[] low, double[] high)
        : base(label)
    {
        MustMatch(x.Length, low.Length, label);
        MustMatch(x.Length, high.Length, label);
        (X, Low, High) = (x, low, high);
    }

    public double[] X { get; }

    public double[] Low { get; }

    public double[] High { get; }

    internal override Extent ExtentX(bool aboveZeroOnly) => Extent.Of(X, aboveZeroOnly);

    internal override Extent ExtentY(bool aboveZeroOnly) => Extent.Of(Low, aboveZeroOnly).With(Extent.Of(High, aboveZeroOnly));
}

/// <summary>Single values, each a dot.</summary>
public sealed record PointSeries : Series
{
    public PointSeries(string label, double[] x, double[] y)
        : base(label)
    {
        MustMatch(x.Length, y.Length, label);
        (X, Y) = (x, y);
    }

    public double[] X { get; }

    public double[] Y { get; }

    /// <summary>Rings instead of dots, for a second kind of point.</summary>
    public bool IsHollow { get; init; }

    internal override Extent ExtentX(bool aboveZeroOnly) => Extent.Of(X, aboveZeroOnly);

    internal override Extent ExtentY(bool aboveZeroOnly) => Extent.Of(Y, aboveZeroOnly);
}

/// <summary>Bars from <see cref="Base"/> to a value, each between two places on the x axis: bands of a spectrum, bins of a histogram.</summary>
public sealed record BarSeries : Series
{
    public BarSeries(string label, double[] left, double[] right, double[] values)
        : base(label)
    {
        MustMatch(left.Length, right.Length, label);
        MustMatch(left.Length, values.Length, label);
        (Left, Right, Values) = (left, right, values);
    }

    public double[] Left { get; }

    public double[] Right { get; }

    public double[] Values { get; }

    /// <summary>Where bars stand; null is the foot of the plot where the axis has a lower end, else zero.</summary>
    public double? Base { get; init; }

    /// <summary>Bars between neighbouring edges, of which there is one more than of values.</summary>
    public static BarSeries Histogram(string label, double[] edges, double[] counts)
    {
        MustMatch(edges.Length, counts.Length + 1, label);
        return new BarSeries(label, edges[..^1], edges[1..], counts);
    }

    /// <summary>Third-octave bands about their centres in hertz; the edges are a sixth of an octave away (base ten, IEC 61260-1).</summary>
    public static BarSeries ThirdOctaves(string label, double[] centresHz, double[] values)
    {
        var half = Math.Pow(10, 0.05);
        return new BarSeries(label, [.. centresHz.Select(c => c / half)], [.. centresHz.Select(c => c * half)], values);
    }

    internal override Extent ExtentX(bool aboveZeroOnly) => Extent.Of(Left, aboveZeroOnly).With(Extent.Of(Right, aboveZeroOnly));

    internal override Extent ExtentY(bool aboveZeroOnly) => Extent.Of(Values, aboveZeroOnly).With(Base ?? double.NaN);
}

/// <summary>Upright lines at places on the x axis, with words above the plot.</summary>
public sealed record UprightMark(double X, string Words) : Series(Words)
{
    internal override Extent ExtentX(bool aboveZeroOnly) => aboveZeroOnly && X <= 0 ? Extent.None : Extent.None.With(X);

    internal override Extent ExtentY(bool aboveZeroOnly) => Extent.None;
}

/// <summary>A level line across the plot, with words at its right end: a limit, a target.</summary>
public sealed record LevelMark(double Y, string Words) : Series(Words)
{
    internal override Extent ExtentX(bool aboveZeroOnly) => Extent.None;

    internal override Extent ExtentY(bool aboveZeroOnly) => Extent.None.With(Y);
}

/// <summary>A shaded stretch of the x axis: a dropout, a pause. Words, where there are any, stand above the plot.</summary>
public sealed record ShadedSpan(double From, double To, string Words = "") : Series(Words)
{
    internal override Extent ExtentX(bool aboveZeroOnly) => Extent.None;

    internal override Extent ExtentY(bool aboveZeroOnly) => Extent.None;
}

/// <summary>A waveform, as the envelope of its columns or as single samples where it is looked at closely.</summary>
public sealed record WaveformSeries(string Label, Waveform Waveform) : Series(Label)
{
    internal override Extent ExtentX(bool aboveZeroOnly) => new(Waveform.StartSeconds, Waveform.EndSeconds);

    internal override Extent ExtentY(bool aboveZeroOnly)
    {
        var peak = Waveform.Peak;
        return new Extent(-peak, peak);
    }
}
