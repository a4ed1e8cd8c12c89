namespace Offtape.Report;

/// <summary>The rules, ticks and labels of both axes.</summary>
internal static class AxisMarks
{
    /// <summary>Clear room between an upright axis and its labels.</summary>
    public const double LabelGap = 8;

    // Low enough that a long label at the left end stays clear of the lowest label of the upright axis.
    private const double LabelBaseline = 21;
    private const double CaptionBaseline = 39;

    private const double GapBetweenLabels = 24;
    private const double GapBetweenOctaves = 12;
    private const double GapBetweenRows = 14;

    /// <summary>The room beneath a plot for labels, and for the name of the axis where there is one.</summary>
    public static double FootRoom(string captionX) => captionX.Length > 0 ? CaptionBaseline : LabelBaseline;

    /// <summary>How wide the labels of the upright axis are.</summary>
    public static double LabelWidth(PlotFrame frame) =>
        YTicks(frame).Select(t => TextMetrics.Width(Runs(t), TypeSize.Note)).DefaultIfEmpty(0).Max();

    public static IEnumerable<Mark> Rules(PlotFrame frame, double width)
    {
        var area = frame.Area;
        var ticks = XTicks(frame, width);
        var uprights = Ticks
            .MinorLines(frame.X, ticks)
            .Concat(ticks.Select(t => t.Value))
            .Select(v => Upright(frame.PixelX(v), area, InkRole.Rule));
        var levels = YTicks(frame).Select(t => Level(frame.PixelY(t.Value), area, InkRole.Rule));
        yield return new GroupMark([.. uprights, .. levels]) { Kind = "rules" };
    }

    public static IEnumerable<Mark> Labels(PlotFrame frame, double width, string captionX)
    {
        var area = frame.Area;
        var ys = YTicks(frame)
            .Select(t => new TextMark(
                new Point(area.Left - LabelGap, Snap(frame.PixelY(t.Value)) + 4.5),
                Runs(t),
                TypeSize.Note,
                TextAnchor.End
            ));
        var xs = XTicks(frame, width).Select(t => XLabel(frame, t, width));
        yield return new GroupMark([.. ys, .. xs]) { Kind = "ticks" };
        if (captionX.Length > 0)
        {
            var caption = TextWrapper.Shorten(TextRuns.Of(captionX, InkRole.Soft), area.Right - PlotLayout.Padding, TypeSize.Note);
            yield return new TextMark(new Point(area.Right, area.Bottom + CaptionBaseline), caption, TypeSize.Note, TextAnchor.End);
        }
    }

    /// <summary>The line that values are measured from, with what a reader that hovers needs to turn pixels into values.</summary>
    public static Mark Foot(PlotFrame frame)
    {
        var (area, x, y) = (frame.Area, frame.X, frame.Y);
        var foot = y.Holds(0) && y.Scale != AxisScale.Logarithmic ? 0 : y.Min;
        return new GroupMark([Level(frame.PixelY(foot), area, InkRole.Soft)])
        {
            Kind = "frame",
            Data =
            [
                ("left", Exact(area.Left)),
                ("top", Exact(area.Top)),
                ("width", Exact(area.Width)),
                ("height", Exact(area.Height)),
                ("x-scale", NameOf(x.Scale)),
                ("x-min", Exact(x.Min)),
                ("x-max", Exact(x.Max)),
                ("y-scale", NameOf(y.Scale)),
                ("y-min", Exact(y.Min)),
                ("y-max", Exact(y.Max)),
            ],
        };
    }

    /// <summary>The middle of a pixel, where a line one pixel wide is sharp.</summary>
    public static double Snap(double pixel) => Math.Floor(pixel) + 0.5;

    public static LineMark Upright(double x, Box area, InkRole ink) =>
        new([new Point(Snap(x), area.Top), new Point(Snap(x), area.Bottom)], ink);

    private static LineMark Level(double y, Box area, InkRole ink) =>
        new([new Point(area.Left, Snap(y)), new Point(area.Right, Snap(y))], ink);

    private static IReadOnlyList<Tick> YTicks(PlotFrame frame) =>
        Ticks.Choose(
            frame.Y,
            tick => (frame.PixelY(tick.Value) - TypeSize.Note / 2, frame.PixelY(tick.Value) + TypeSize.Note / 2),
            GapBetweenRows
        );

    private static IReadOnlyList<Tick> XTicks(PlotFrame frame, double width) =>
        Ticks.Choose(
            frame.X,
            tick => (XLabel(frame, tick, width).Extent.Left, XLabel(frame, tick, width).Extent.Right),
            frame.X.Scale == AxisScale.Logarithmic ? GapBetweenOctaves : GapBetweenLabels
        );

    /// <summary>The label under its tick, moved in where it would stick out of the drawing.</summary>
    private static TextMark XLabel(PlotFrame frame, Tick tick, double width)
    {
        var runs = Runs(tick);
        var half = TextMetrics.Width(runs, TypeSize.Note) / 2;
        var at = Math.Clamp(frame.PixelX(tick.Value), half + 4, Math.Max(half + 4, width - half - 4));
        return new TextMark(new Point(at, frame.Area.Bottom + LabelBaseline), runs, TypeSize.Note, TextAnchor.Middle);
    }

    private static IReadOnlyList<TextRun> Runs(Tick tick) => TextRuns.Figures(tick.Label, InkRole.Soft);

    private static string NameOf(AxisScale scale) => scale == AxisScale.Logarithmic ? "log" : "linear";

    private static string Exact(double value) => value.ToString("R");
}
