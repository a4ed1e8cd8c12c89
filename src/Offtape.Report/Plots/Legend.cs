namespace Offtape.Report;

/// <summary>A line of small signs with their words, for what cannot be labelled where it is drawn.</summary>
internal static class Legend
{
    private const double SwatchWidth = 14;
    private const double SwatchGap = 6;
    private const double EntryGap = 16;

    public const double RowHeight = 20;

    /// <summary>Words longer than this are cut with an ellipsis; the description has them whole.</summary>
    private const double LongestWords = 240;

    /// <summary>How wide one row of all entries is.</summary>
    public static double Width(IReadOnlyList<Series> entries) => entries.Sum(EntryWidth) + Math.Max(0, entries.Count - 1) * EntryGap;

    /// <summary>Breaks the entries into rows no wider than <paramref name="width"/>; an entry wider than that has its own row.</summary>
    public static IReadOnlyList<IReadOnlyList<Series>> Rows(IReadOnlyList<Series> entries, double width)
    {
        var rows = new List<IReadOnlyList<Series>>();
        var row = new List<Series>();
        foreach (var entry in entries)
        {
            if (row.Count > 0 && Width([.. row, entry]) > width)
            {
                rows.Add(row);
                row = [];
            }
            row.Add(entry);
        }
        if (row.Count > 0)
            rows.Add(row);
        return rows;
    }

    /// <summary>One row, from <paramref name="left"/>, its words on <paramref name="baseline"/>.</summary>
    public static IEnumerable<Mark> Row(IReadOnlyList<Series> entries, double left, double baseline)
    {
        foreach (var entry in entries)
        {
            yield return Swatch(entry, new Box(left, Math.Round(baseline - 9), SwatchWidth, 9));
            yield return new TextMark(new Point(left + SwatchWidth + SwatchGap, baseline), WordsOf(entry), TypeSize.Note);
            left += EntryWidth(entry) + EntryGap;
        }
    }

    private static double EntryWidth(Series entry) => SwatchWidth + SwatchGap + TextMetrics.Width(WordsOf(entry), TypeSize.Note);

    private static IReadOnlyList<TextRun> WordsOf(Series entry) =>
        TextWrapper.Shorten(TextRuns.Of(entry.Label), LongestWords, TypeSize.Note);

    private static Mark Swatch(Series entry, Box box)
    {
        var middle = new Point(box.Left + box.Width / 2, box.Top + box.Height / 2);
        return entry switch
        {
            LevelMark level => new LineMark([new Point(box.Left, middle.Y), new Point(box.Right, middle.Y)], level.Ink, 1, 4),
            LineSeries line => new LineMark(
                [new Point(box.Left, middle.Y), new Point(box.Right, middle.Y)],
                line.Ink,
                1.5,
                line.IsDashed ? 4 : 0
            ),
            PointSeries points => points.IsHollow
                ? new DotMark(middle, 3, InkRole.Sheet, points.Ink)
                : new DotMark(middle, 2.5, points.Ink),
            BandSeries or ShadedSpan => new BoxMark(box, InkRole.Wash, InkRole.Rule),
            _ => new BoxMark(box, entry.Ink),
        };
    }
}
