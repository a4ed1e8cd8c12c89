using Offtape.Base;

namespace Offtape.Report;

/// <summary>
/// Lays a plot out at a given width: title, the name of the upright axis with the legend beside it, words of marks, the plot itself with its
/// ticks, the name of the level axis. Everything is placed by measured words, so that nothing touches and nothing is cut off.
/// </summary>
internal sealed class PlotLayout
{
    public const double Padding = 12;

    /// <summary>Narrower than this, lines are named in the legend instead of at their right end.</summary>
    private const double DirectLabelWidth = 560;

    /// <summary>Half of a clock label stands beyond the end of the axis.</summary>
    private const double LabelOverhang = 8;

    /// <summary>A plot is at least this high; where titles and words take more than the height asked for, the drawing grows.</summary>
    private const double LowestPlot = 64;

    private readonly PlotModel _model;
    private readonly double _width;
    private readonly AxisRange _x;
    private readonly AxisRange _y;
    private readonly IReadOnlyList<Series> _direct;
    private readonly IReadOnlyList<Series> _inLegend;

    private PlotLayout(PlotModel model, double width, bool isDirect)
    {
        (_model, _width) = (model, width);
        _x = RangeX(model);
        _y = RangeY(model);
        var named = model
            .Series.Where(s => s.Label.Length > 0 && s is not (UprightMark or ShadedSpan) && !(s is LevelMark l && !_y.Holds(l.Y)))
            .ToArray();
        _direct = isDirect ? [.. named.Where(CanStandAtItsEnd)] : [];
        _inLegend = [.. named.Where(s => !_direct.Contains(s, ReferenceEqualityComparer.Instance))];
    }

    public static Drawing Draw(PlotModel model, double widthPixels)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(widthPixels, 200);
        ArgumentOutOfRangeException.ThrowIfLessThan(model.HeightPixels, 120);
        return new PlotLayout(model, widthPixels, isDirect: widthPixels >= DirectLabelWidth).Draw();
    }

    private static AxisRange RangeX(PlotModel model)
    {
        var isLog = model.X.Scale == AxisScale.Logarithmic;
        return AxisRange.For(model.X, model.Series.Aggregate(Extent.None, (e, s) => e.With(s.ExtentX(isLog))), 0);
    }

    private static AxisRange RangeY(PlotModel model)
    {
        var data = model.Series.Aggregate(Extent.None, (e, s) => e.With(s.ExtentY(model.Y.Scale == AxisScale.Logarithmic)));
        var bars = model.Series.OfType<BarSeries>().ToArray();
        if (bars.Any(b => b.Base is null) && model.Y.Min is null && model.Y.Scale == AxisScale.Linear)
            data = data.With(0);
        var range = AxisRange.For(model.Y, data, 0.06);
        if (model.Y.Min is not null || data.IsEmpty)
            return range;
        // The margin reaches below zero only where data do; bars stand on the foot of the plot without a margin beneath.
        var isPositive = model.Y.Scale == AxisScale.Linear && data.Min >= 0 && range.Min < 0;
        return isPositive && data.Max > 0 ? range with { Min = 0 }
            : bars.Any(b => b.Base == data.Min) && data.Min < data.Max ? range with { Min = data.Min }
            : range;
    }

    // Words longer than a fifth of the plot would leave too little of it.
    private bool CanStandAtItsEnd(Series series) =>
        (series is LevelMark || series is LineSeries line && SeriesWords.LastPlace(line, _x) is not null)
        && TextMetrics.Width(TextRuns.Of(series.Label), TypeSize.Note) <= _width / 5;

    private Drawing Draw()
    {
        var marks = new List<Mark>();
        var top = DrawHeader(marks, DrawTitle(marks, Padding));
        var footRoom = AxisMarks.FootRoom(_model.X.Caption) + Padding - 4;
        var height = Math.Max(_model.HeightPixels, top + LowestPlot + footRoom);
        var words = _direct.Select(s => TextMetrics.Width(TextRuns.Of(s.Label), TypeSize.Note)).DefaultIfEmpty(0).Max();
        var gutterRight = Padding + (_direct.Count == 0 ? LabelOverhang : words + 10);
        // The words above the plot decide its top, its top decides the ticks, the ticks its left edge, and that where the words stand:
        // a first round without words gives the left edge closely enough to count the rows that the words need.
        var draft = Frame(top, height - footRoom, gutterRight);
        var rowCount = SeriesWords.RowCount(_model, draft, _width);
        top += rowCount * SeriesWords.RowHeight;
        height = Math.Max(height, top + LowestPlot + footRoom);
        var frame = Frame(top, height - footRoom, gutterRight);

        // More names than fit beside the plot all go to the legend.
        if (!SeriesWords.FitAtTheEnd(_direct.Count, frame))
            return new PlotLayout(_model, _width, isDirect: false).Draw();

        marks.Insert(0, new BoxMark(new Box(0, 0, _width, height), InkRole.Sheet));

        marks.AddRange(AxisMarks.Rules(frame, _width));
        marks.Add(AxisMarks.Foot(frame));
        marks.AddRange(AxisMarks.Labels(frame, _width, _model.X.Caption));
        DrawSeries(marks, frame);
        marks.AddRange(SeriesWords.Above(_model, frame, _width, rowCount));
        marks.AddRange(SeriesWords.AtTheEnd(_direct, frame));
        return new Drawing(_width, height, _model.Title, Describe(), marks);
    }

    private double DrawTitle(List<Mark> marks, double top)
    {
        if (_model.Title.Length == 0)
            return top;
        foreach (var line in TextWrapper.Wrap(TextRuns.Of(_model.Title), _width - 2 * Padding, TypeSize.Text))
        {
            marks.Add(new TextMark(new Point(Padding, top + 15), line, TypeSize.Text));
            top += 22;
        }
        return top + 2;
    }

    private double DrawHeader(List<Mark> marks, double top)
    {
        var name = TextWrapper.Shorten(TextRuns.Of(_model.Y.Caption, InkRole.Soft), _width - 2 * Padding, TypeSize.Note);
        if (name.Count > 0)
            marks.Add(new TextMark(new Point(Padding, top + 13), name, TypeSize.Note));
        var legendWidth = Legend.Width(_inLegend);
        var fitsBeside = Padding + TextMetrics.Width(name, TypeSize.Note) + 24 + legendWidth <= _width - Padding;
        if (_inLegend.Count > 0 && fitsBeside)
            marks.AddRange(Legend.Row(_inLegend, _width - Padding - legendWidth, top + 13));
        if (name.Count > 0 || _inLegend.Count > 0 && fitsBeside)
            top += Legend.RowHeight;
        if (!fitsBeside)
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
        var height = foot - top;
        var labels = AxisMarks.LabelWidth(new PlotFrame(new Box(0, top, 1, height), _x, _y));
        var left = Math.Ceiling(Padding + labels + AxisMarks.LabelGap);
        return new PlotFrame(new Box(left, top, Math.Max(40, Math.Floor(_width - gutterRight - left)), height), _x, _y);
    }

    private void DrawSeries(List<Mark> marks, PlotFrame frame)
    {
        // What is shaded lies below what is drawn; the order is otherwise the model's.
        foreach (
            var series in _model.Series.OrderBy(s =>
                s is ShadedSpan ? 0
                : s is BandSeries ? 1
                : 2
            )
        )
        {
            // Dots at the edges are drawn whole: only those within the plot are there at all.
            Box? clip = series is PointSeries ? null : frame.Area;
            if (SeriesMarks.Of(series, frame) is { Count: > 0 } drawn)
                marks.Add(new GroupMark(drawn, clip) { Kind = "series", Data = [("label", series.Label)] });
        }
        // Of two waveforms over each other both are seen, whichever is the larger.
        var waveforms = _model.Series.OfType<WaveformSeries>().ToArray();
        foreach (var covered in waveforms.SkipLast(1))
        {
            if (SeriesMarks.CoveredEdge(covered, waveforms[^1], frame) is { Count: > 0 } outline)
                marks.Add(new GroupMark(outline, frame.Area) { Kind = "outline" });
        }
    }

    private string Describe()
    {
        if (_model.Description.Length > 0)
            return _model.Description;
        var parts = _model.Series.Select(s => s.Label).Where(l => l.Length > 0).Distinct().ToArray();
        var axes = $"{_model.Y.Caption} against {_model.X.Caption}";
        return parts.Length == 0 ? $"{axes}." : $"{axes}: {Words.List(parts)}.";
    }
}
