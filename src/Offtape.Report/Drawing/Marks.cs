namespace Offtape.Report;

internal readonly record struct Point(double X, double Y);

/// <summary>A rectangle in CSS pixels, y downwards.</summary>
internal readonly record struct Box(double Left, double Top, double Width, double Height)
{
    public double Right => Left + Width;

    public double Bottom => Top + Height;

    public bool Overlaps(Box other) => Left < other.Right && other.Left < Right && Top < other.Bottom && other.Top < Bottom;
}

internal enum TextAnchor
{
    Start,
    Middle,
    End,
}

/// <summary>The few things that can be drawn; each output knows exactly these. Lengths are CSS pixels (96 to the inch), y downwards.</summary>
internal abstract record Mark;

/// <summary>An open line through points; <paramref name="DashPixels"/> 0 is unbroken.</summary>
internal sealed record LineMark(IReadOnlyList<Point> Points, InkRole Ink, double WidthPixels = 1, double DashPixels = 0) : Mark;

internal sealed record AreaMark(IReadOnlyList<Point> Corners, InkRole Fill, double Opacity = 1) : Mark;

internal sealed record BoxMark(Box Box, InkRole? Fill, InkRole? Stroke = null, double CornerRadius = 0) : Mark;

internal sealed record DotMark(Point Centre, double Radius, InkRole? Fill, InkRole? Stroke = null) : Mark
{
    /// <summary>What the dot stands for, for a reader that hovers: already in the axes' own units.</summary>
    public (double X, double Y)? Value { get; init; }
}

/// <summary>One line of text; <paramref name="At"/> is on the baseline.</summary>
internal sealed record TextMark(Point At, IReadOnlyList<TextRun> Runs, double Size, TextAnchor Anchor = TextAnchor.Start) : Mark
{
    public double Width => TextMetrics.Width(Runs, Size);

    /// <summary>The room it takes, by the layout's own metrics.</summary>
    public Box Extent
    {
        get
        {
            var width = Width;
            var left = Anchor switch
            {
                TextAnchor.Start => At.X,
                TextAnchor.Middle => At.X - width / 2,
                _ => At.X - width,
            };
            return new Box(left, At.Y - TextMetrics.Ascent * Size, width, (TextMetrics.Ascent + TextMetrics.Descent) * Size);
        }
    }
}

/// <summary>Marks that belong together, cut off at <paramref name="Clip"/> where there is one.</summary>
internal sealed record GroupMark(IReadOnlyList<Mark> Children, Box? Clip = null) : Mark
{
    /// <summary>A short machine name, such as <c>series</c> or <c>axis-x</c>.</summary>
    public string? Kind { get; init; }

    /// <summary>Values for a reader that hovers, by name; names are lower case with hyphens.</summary>
    public IReadOnlyList<(string Name, string Value)> Data { get; init; } = [];
}

/// <summary>A finished drawing: what every output draws, mark for mark.</summary>
internal sealed record Drawing(double Width, double Height, string Title, string Description, IReadOnlyList<Mark> Marks);
