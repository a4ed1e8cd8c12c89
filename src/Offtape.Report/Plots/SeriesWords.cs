namespace Offtape.Report;

/// <summary>The words of series, where they stand beside what they name: above upright marks and shaded spans, at the right end of lines.</summary>
internal static class SeriesWords
{
    public const double RowHeight = 18;

    private const int MostRows = 3;

    private const double EndSpacing = 16;
    private const double EndInsetTop = 8;
    private const double EndInsetBottom = 4;

    private sealed record Placed(IReadOnlyList<TextRun> Runs, double From, double To, int Row);

    /// <summary>How many rows of words are needed above the plot.</summary>
    public static int RowCount(PlotModel model, PlotFrame frame, double width) =>
        Place(model, frame, width, MostRows).Select(w => w.Row + 1).DefaultIfEmpty(0).Max();

    /// <summary>Upright marks with their words above the plot; words for which no row has room are left to the description.</summary>
    public static IEnumerable<Mark> Above(PlotModel model, PlotFrame frame, double width, int rowCount)
    {
        var area = frame.Area;
        var strip = rowCount * RowHeight;
        foreach (var mark in model.Series.OfType<UprightMark>().Where(m => frame.X.Holds(m.X)))
        {
            var rise = mark.Words.Length > 0 ? strip : 0;
            var tall = area with { Top = area.Top - rise, Height = area.Height + rise };
            yield return AxisMarks.Upright(frame.PixelX(mark.X), tall, mark.Ink);
        }
        foreach (var word in Place(model, frame, width, rowCount).Where(w => w.Row >= 0))
        {
            var top = area.Top - strip + word.Row * RowHeight;
            // A mark of another row may pass by: the words stand on a patch of their own.
            yield return new BoxMark(new Box(word.From - 3, top, word.To - word.From + 6, RowHeight - 1), InkRole.Sheet);
            yield return new TextMark(new Point(word.From, top + 12), word.Runs, TypeSize.Note);
        }
    }

    /// <summary>Whether so many names find room one under the other beside the plot.</summary>
    public static bool FitAtTheEnd(int count, PlotFrame frame) =>
        (count - 1) * EndSpacing <= frame.Area.Height - EndInsetTop - EndInsetBottom;

    /// <summary>Names at the right end of lines, moved apart where lines end close to each other, and the level marks themselves.</summary>
    public static IEnumerable<Mark> AtTheEnd(IReadOnlyList<Series> named, PlotFrame frame)
    {
        var area = frame.Area;
        var ends = named
            .Select(s => frame.PixelY(s is LevelMark level ? level.Y : LastPlace((LineSeries)s, frame.X)!.Value))
            .Select(y => Math.Clamp(y, area.Top, area.Bottom))
            .ToArray();
        var places = LabelRows.Spread(ends, EndSpacing, area.Top + EndInsetTop, area.Bottom - EndInsetBottom);
        for (var i = 0; i < places.Length; i++)
        {
            yield return new TextMark(
                new Point(area.Right + 10, places[i] + 4.5),
                TextRuns.Of(named[i].Label, named[i].Ink),
                TypeSize.Note
            );
            // A label that had to move keeps a thread to its line.
            if (Math.Abs(places[i] - ends[i]) > 5)
                yield return new LineMark([new Point(area.Right + 1, ends[i]), new Point(area.Right + 8, places[i])], InkRole.Soft);
        }
    }

    /// <summary>The value at the right end of the last stretch of a line that lies within the axis; null where none does.</summary>
    public static double? LastPlace(LineSeries line, AxisRange range)
    {
        for (var i = line.X.Length - 1; i >= 0; i--)
        {
            if (double.IsFinite(line.Y[i]) && range.Holds(line.X[i]))
                return line.Y[i];
        }
        return null;
    }

    private static List<Placed> Place(PlotModel model, PlotFrame frame, double width, int rowCount)
    {
        var words = new List<Placed>();
        foreach (var series in model.Series.Where(s => s.Label.Length > 0 && frame.X.Holds(AnchorX(s))).OrderBy(AnchorX))
        {
            var ink = series is UprightMark ? series.Ink : InkRole.Soft;
            var runs = TextWrapper.Shorten(TextRuns.Of(series.Label, ink), width / 3, TypeSize.Note);
            var length = TextMetrics.Width(runs, TypeSize.Note);
            var anchor = frame.PixelX(AnchorX(series));
            var from = series is UprightMark ? anchor + 4 : anchor - length / 2;
            if (series is UprightMark && from + length > width - PlotLayout.Padding)
                from = anchor - 4 - length;
            // Never over the labels of the upright axis.
            var least = frame.Area.Left - 4;
            from = Math.Clamp(from, least, Math.Max(least, width - PlotLayout.Padding - length));
            words.Add(new Placed(runs, from, from + length, -1));
        }
        var rows = LabelRows.Rows([.. words.Select(w => (w.From, w.To))], rowCount, 10);
        return [.. words.Select((w, i) => w with { Row = rows[i] })];
    }

    private static double AnchorX(Series series) =>
        series switch
        {
            UprightMark mark => mark.X,
            ShadedSpan span => (span.From + span.To) / 2,
            _ => double.NaN,
        };
}
