using Offtape.Base;

namespace Offtape.Report;

/// <summary>
/// Lays a plot out at a given width: title, the name of the upright axis with the legend beside it, words of marks, the plot itself with its
/// ticks, the name of the level axis. Everything is placed by measured words, so that nothing touches and nothing is cut off.
/// </summary>
internal sealed class PlotLayout
{
    private const double Padding = 12;
    private const double MarkRowHeight = 18;
    private const double TickLabelGap = 8;

    /// <summary>Narrower than this, lines are named in the legend instead of at their right end.</summary>
    private const double DirectLabelWidth = 560;

    private readonly PlotModel _model;
    private readonly double _width;
    private readonly double _height;
    private readonly AxisRange _x;
    private readonly AxisRange _y;
    private readonly IReadOnlyList<Series> _direct;
    private readonly IReadOnlyList<Series> _inLegend;

    private PlotLayout(PlotModel model, double width)
    {
        (_model, _width, _height) = (model, width, model.HeightPixels);
        var isLogX = model.X.Scale == AxisScale.Logarithmic;
        _x = AxisRange.For(model.X, model.Series.Aggregate(Extent.None, (e, s) => e.With(s.ExtentX(isLogX))), 0);
        var extentY = model.Series.Aggregate(Extent.None, (e, s) => e.With(s.ExtentY));
        if (model.Series.Any(s => s is BarSeries { Base: null }) && model.Y.Min is null && model.Y.Scale == AxisScale.Linear)
            extentY = extentY.With(0);
        _y = AxisRange.For(model.Y, extentY, 0.06);
        if (model.Y.Min is null && extentY.Min >= 0 && _y.Min < 0)
            _y = _y with { Min = 0 };

        var named = model.Series.Where(s => s.Label.Length > 0 && s is not (UprightMark or ShadedSpan)).ToArray();
        var canLabelDirectly = width >= DirectLabelWidth;
        _direct = canLabelDirectly ? [.. named.Where(s => s is LevelMark || s is LineSeries line && LastPlace(line) is not null)] : [];
        _inLegend = [.. named.Where(s => !_direct.Contains(s, ReferenceEqualityComparer.Instance))];
    }

    public static Drawing Draw(PlotModel model, double widthPixels)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(widthPixels, 200);
        ArgumentOutOfRangeException.ThrowIfLessThan(model.HeightPixels, 120);
        return new PlotLayout(model, widthPixels).Draw();
    }

    private Drawing Draw()
    {
        var marks = new List<Mark> { new BoxMark(new Box(0, 0, _width, _height), InkRole.Sheet) };
        var top = Padding;
        if (_model.Title.Length > 0)
        {
            marks.Add(Text(Padding, top + 15, _model.Title, InkRole.Ink, TypeSize.Text));
            top += 24;
        }
        top = DrawHeader(marks, top);

        var foot = _height - Padding - 18 - (_model.X.Caption.Length > 0 ? 18 : 0);
        var gutterRight =
            Padding + (_direct.Count == 0 ? 0 : _direct.Max(s => TextMetrics.Width(TextRuns.Of(s.Label), TypeSize.Note)) + 10);
        // The words above the plot decide its top, its top decides the ticks, the ticks its left edge, and that where the words stand:
        // a first round without words gives the left edge closely enough to count the rows that the words need.
        var draft = Frame(top, foot, gutterRight);
        var rowCount = MarkWords(draft).Select(w => w.Row + 1).DefaultIfEmpty(0).Max();
        var frame = Frame(top + rowCount * MarkRowHeight, foot, gutterRight);

        DrawAxes(marks, frame);
        DrawSeries(marks, frame);
        DrawUprightMarks(marks, frame, rowCount);
        DrawDirectLabels(marks, frame);
        return new Drawing(_width, _height, _model.Title, Describe(), marks);
    }

    private double DrawHeader(List<Mark> marks, double top)
    {
        var name = _model.Y.Caption;
        var nameWidth = TextMetrics.Width(TextRuns.Of(name), TypeSize.Note);
        if (name.Length > 0)
            marks.Add(Text(Padding, top + 13, name, InkRole.Soft));
        var legendWidth = Legend.Width(_inLegend);
        var fitsBeside = Padding + nameWidth + 24 + legendWidth <= _width - Padding;
        if (_inLegend.Count > 0 && fitsBeside)
            marks.AddRange(Legend.Row(_inLegend, _width - Padding - legendWidth, top + 13));
        if (name.Length > 0 || _inLegend.Count > 0 && fitsBeside)
            top += Legend.RowHeight;
        if (_inLegend.Count > 0 && !fitsBeside)
        {
            foreach (var row in Legend.Rows(_inLegend, _width - 2 * Padding))
            {
                marks.AddRange(Legend.Row(row, Padding, top + 13));
                top += Legend.RowHeight;
            }
        }
        return top + 6;
    }

    private PlotFrame Frame(double top, double foot, double gutterRight)
    {
        foot = Math.Max(foot, top + 40);
        var ticks = YTicks(new Box(0, top, 1, foot - top));
        var labels = ticks.Select(t => TextMetrics.Width(TextRuns.Of(t.Label), TypeSize.Note)).DefaultIfEmpty(0).Max();
        var left = Math.Ceiling(Padding + labels + TickLabelGap);
        return new PlotFrame(new Box(left, top, Math.Max(40, Math.Floor(_width - gutterRight - left)), foot - top), _x, _y);
    }

    private IReadOnlyList<Tick> YTicks(Box area) =>
        Ticks.Choose(
            _y,
            tick =>
            {
                var at = area.Bottom - _y.Fraction(tick.Value) * area.Height;
                return (at - TypeSize.Note / 2, at + TypeSize.Note / 2);
            },
            14
        );

    private IReadOnlyList<Tick> XTicks(PlotFrame frame) =>
        Ticks.Choose(
            _x,
            tick =>
            {
                var extent = XTickLabel(frame, tick).Extent;
                return (extent.Left, extent.Right);
            },
            _x.Scale == AxisScale.Logarithmic ? 12 : 24
        );

    /// <summary>The label under its tick, moved in where it would stick out of the drawing.</summary>
    private TextMark XTickLabel(PlotFrame frame, Tick tick)
    {
        var runs = TickRuns(tick);
        var half = TextMetrics.Width(runs, TypeSize.Note) / 2;
        var at = Math.Clamp(frame.PixelX(tick.Value), half + 4, Math.Max(half + 4, _width - half - 4));
        return new TextMark(new Point(at, frame.Area.Bottom + 18), runs, TypeSize.Note, TextAnchor.Middle);
    }

    private void DrawAxes(List<Mark> marks, PlotFrame frame)
    {
        var area = frame.Area;
        var yTicks = YTicks(area);
        var xTicks = XTicks(frame);
        var lines = new List<Mark>();
        foreach (var value in Ticks.MinorLines(_x, xTicks).Concat(xTicks.Select(t => t.Value)))
            lines.Add(Upright(frame.PixelX(value), area.Top, area.Bottom, InkRole.Rule));
        foreach (var tick in yTicks)
            lines.Add(Level(frame.PixelY(tick.Value), area.Left, area.Right, InkRole.Rule));
        marks.Add(new GroupMark(lines) { Kind = "rules" });

        var labels = new List<Mark>();
        foreach (var tick in yTicks)
        {
            var at = new Point(area.Left - TickLabelGap, Snap(frame.PixelY(tick.Value)) + 4.5);
            labels.Add(new TextMark(at, TickRuns(tick), TypeSize.Note, TextAnchor.End));
        }
        foreach (var tick in xTicks)
            labels.Add(XTickLabel(frame, tick));
        marks.Add(new GroupMark(labels) { Kind = "ticks" });
        if (_model.X.Caption.Length > 0)
            marks.Add(
                new TextMark(
                    new Point(area.Right, area.Bottom + 36),
                    TextRuns.Of(_model.X.Caption, InkRole.Soft),
                    TypeSize.Note,
                    TextAnchor.End
                )
            );
    }

    private void DrawSeries(List<Mark> marks, PlotFrame frame)
    {
        var waveforms = 0;
        // What is shaded lies below what is drawn; LINQ's order is stable.
        foreach (
            var series in _model.Series.OrderBy(s =>
                s is ShadedSpan ? 0
                : s is BandSeries ? 1
                : 2
            )
        )
        {
            var drawn = SeriesMarks.Of(series, frame, isOverlay: series is WaveformSeries && waveforms++ > 0);
            if (drawn.Count > 0)
                marks.Add(new GroupMark(drawn, frame.Area) { Kind = "series", Data = [("label", series.Label)] });
        }
        var foot = _y.Holds(0) && _y.Scale != AxisScale.Logarithmic ? 0 : _y.Min;
        marks.Add(
            new GroupMark([Level(frame.PixelY(foot), frame.Area.Left, frame.Area.Right, InkRole.Soft)])
            {
                Kind = "frame",
                Data =
                [
                    ("left", Exact(frame.Area.Left)),
                    ("top", Exact(frame.Area.Top)),
                    ("width", Exact(frame.Area.Width)),
                    ("height", Exact(frame.Area.Height)),
                    ("x-scale", _x.Scale == AxisScale.Logarithmic ? "log" : "linear"),
                    ("x-min", Exact(_x.Min)),
                    ("x-max", Exact(_x.Max)),
                    ("y-scale", _y.Scale == AxisScale.Logarithmic ? "log" : "linear"),
                    ("y-min", Exact(_y.Min)),
                    ("y-max", Exact(_y.Max)),
                ],
            }
        );
    }

    /// <summary>The words of upright marks and shaded spans: where they stand, in which row; row −1 where there was no room.</summary>
    private List<(string Words, InkRole Ink, double Left, int Row)> MarkWords(PlotFrame frame, int rowCount = 3)
    {
        var words = new List<(string Words, InkRole Ink, double From, double To)>();
        foreach (var series in _model.Series.Where(s => s.Label.Length > 0).OrderBy(AnchorX))
        {
            if (series is not (UprightMark or ShadedSpan) || !_x.Holds(AnchorX(series)))
                continue;
            var width = TextMetrics.Width(TextRuns.Of(series.Label), TypeSize.Note);
            var anchor = frame.PixelX(AnchorX(series));
            var from = series is UprightMark ? anchor + 4 : anchor - width / 2;
            if (series is UprightMark && from + width > _width - Padding)
                from = anchor - 4 - width;
            from = Math.Clamp(from, Padding, Math.Max(Padding, _width - Padding - width));
            words.Add((series.Label, series is UprightMark ? series.Ink : InkRole.Soft, from, from + width));
        }
        var rows = LabelRows.Rows([.. words.Select(w => (w.From, w.To))], rowCount, 10);
        return [.. words.Select((w, i) => (w.Words, w.Ink, w.From, rows[i]))];
    }

    private static double AnchorX(Series series) =>
        series switch
        {
            UprightMark mark => mark.X,
            ShadedSpan span => (span.From + span.To) / 2,
            _ => double.NaN,
        };

    private void DrawUprightMarks(List<Mark> marks, PlotFrame frame, int rowCount)
    {
        var top = frame.Area.Top - rowCount * MarkRowHeight;
        foreach (var mark in _model.Series.OfType<UprightMark>().Where(m => _x.Holds(m.X)))
            marks.Add(Upright(frame.PixelX(mark.X), mark.Words.Length > 0 ? top : frame.Area.Top, frame.Area.Bottom, mark.Ink));
        foreach (var (words, ink, left, row) in MarkWords(frame, rowCount))
        {
            if (row >= 0)
                marks.Add(Text(left, top + row * MarkRowHeight + 12, words, ink));
        }
        foreach (var level in _model.Series.OfType<LevelMark>().Where(m => _y.Holds(m.Y)))
        {
            var at = Snap(frame.PixelY(level.Y));
            marks.Add(new LineMark([new Point(frame.Area.Left, at), new Point(frame.Area.Right, at)], level.Ink, 1, 4));
        }
    }

    private void DrawDirectLabels(List<Mark> marks, PlotFrame frame)
    {
        var ends = _direct
            .Select(s => s is LevelMark level ? frame.PixelY(level.Y) : frame.PixelY(LastPlace((LineSeries)s)!.Value))
            .Select(y => Math.Clamp(y, frame.Area.Top, frame.Area.Bottom))
            .ToArray();
        var places = LabelRows.Spread(ends, 16, frame.Area.Top + 4, frame.Area.Bottom - 4);
        for (var i = 0; i < places.Length; i++)
        {
            marks.Add(Text(frame.Area.Right + 10, places[i] + 4.5, _direct[i].Label, _direct[i].Ink));
            // A label that had to move keeps a thread to its line.
            if (Math.Abs(places[i] - ends[i]) > 5)
                marks.Add(
                    new LineMark([new Point(frame.Area.Right + 1, ends[i]), new Point(frame.Area.Right + 8, places[i])], InkRole.Soft)
                );
        }
    }

    /// <summary>The value at the right end of the last stretch of a line that lies within the axis; null where none does.</summary>
    private double? LastPlace(LineSeries line)
    {
        for (var i = line.X.Length - 1; i >= 0; i--)
        {
            if (double.IsFinite(line.Y[i]) && _x.Holds(line.X[i]))
                return line.Y[i];
        }
        return null;
    }

    private string Describe()
    {
        if (_model.Description.Length > 0)
            return _model.Description;
        var parts = _model.Series.Select(s => s.Label).Where(l => l.Length > 0).Distinct().ToArray();
        var axes = $"{_model.Y.Caption} against {_model.X.Caption}";
        return parts.Length == 0 ? $"{axes}." : $"{axes}: {Words.List(parts)}.";
    }

    private static IReadOnlyList<TextRun> TickRuns(Tick tick) => [new TextRun(tick.Label, Face.Figures, InkRole.Soft)];

    private static string Exact(double value) => value.ToString("R");

    /// <summary>The middle of a pixel, where a line one pixel wide is sharp.</summary>
    private static double Snap(double pixel) => Math.Floor(pixel) + 0.5;

    private static LineMark Upright(double x, double top, double bottom, InkRole ink) =>
        new([new Point(Snap(x), top), new Point(Snap(x), bottom)], ink);

    private static LineMark Level(double y, double left, double right, InkRole ink) =>
        new([new Point(left, Snap(y)), new Point(right, Snap(y))], ink);

    private static TextMark Text(double x, double baseline, string text, InkRole ink, double size = TypeSize.Note) =>
        new(new Point(x, baseline), TextRuns.Of(text, ink), size);
}
