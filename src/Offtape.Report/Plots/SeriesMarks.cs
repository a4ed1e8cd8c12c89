namespace Offtape.Report;

/// <summary>Turns the data of each series into marks inside the frame of its plot.</summary>
internal static class SeriesMarks
{
    /// <summary>Samples are dotted where they stand at least this far apart.</summary>
    private const double SampleDotSpacingPixels = 7;

    public static IReadOnlyList<Mark> Of(Series series, PlotFrame frame) =>
        series switch
        {
            LineSeries line => Line(line, frame),
            BandSeries band => Band(band, frame),
            PointSeries points => Points(points, frame),
            BarSeries bars => Bars(bars, frame),
            ShadedSpan span => Span(span, frame),
            LevelMark level => [Level(level, frame)],
            WaveformSeries waveform => Wave(waveform, frame),
            _ => [],
        };

    private static List<Mark> Line(LineSeries line, PlotFrame frame)
    {
        var marks = new List<Mark>();
        foreach (var run in Runs(line.X.Length, i => frame.CanPlace(line.X[i], line.Y[i])))
        {
            var points = Thinning.ByColumn([.. Enumerable.Range(run.Start, run.Count).Select(i => frame.Place(line.X[i], line.Y[i]))]);
            // A lone value between gaps would be a line of no length: it is drawn as a dot.
            marks.Add(
                points.Length == 1 ? new DotMark(points[0], 1.5, line.Ink) : new LineMark(points, line.Ink, 1.5, line.IsDashed ? 4 : 0)
            );
        }
        return marks;
    }

    private static List<Mark> Band(BandSeries band, PlotFrame frame)
    {
        var marks = new List<Mark>();
        foreach (var run in Runs(band.X.Length, i => frame.CanPlace(band.X[i], band.Low[i]) && frame.CanPlace(band.X[i], band.High[i])))
        {
            var indexes = Enumerable.Range(run.Start, run.Count).ToArray();
            var high = Thinning.ByColumn([.. indexes.Select(i => frame.Place(band.X[i], band.High[i]))]);
            var low = Thinning.ByColumn([.. indexes.Select(i => frame.Place(band.X[i], band.Low[i]))]);
            marks.Add(new AreaMark([.. high, .. low.Reverse()], InkRole.Wash));
            // The wash alone is too pale for a poor printer: a rule marks where the band ends.
            marks.Add(new LineMark(high, InkRole.Rule));
            marks.Add(new LineMark(low, InkRole.Rule));
        }
        return marks;
    }

    private static List<Mark> Points(PointSeries points, PlotFrame frame)
    {
        var marks = new List<Mark>();
        for (var i = 0; i < points.X.Length; i++)
        {
            if (!frame.CanPlace(points.X[i], points.Y[i]) || !frame.X.Holds(points.X[i]) || !frame.Y.Holds(points.Y[i]))
                continue;
            var at = frame.Place(points.X[i], points.Y[i]);
            var value = (points.X[i], points.Y[i]);
            marks.Add(
                points.IsHollow
                    ? new DotMark(at, 3, InkRole.Sheet, points.Ink) { Value = value }
                    : new DotMark(at, 2.5, points.Ink) { Value = value }
            );
        }
        return marks;
    }

    private static List<Mark> Bars(BarSeries bars, PlotFrame frame)
    {
        var marks = new List<Mark>();
        var foot = Math.Round(frame.PixelY(bars.Base ?? Math.Clamp(0, frame.Y.Min, frame.Y.Max)));
        for (var i = 0; i < bars.Values.Length; i++)
        {
            if (!frame.CanPlace(bars.Left[i], bars.Values[i]) || !frame.CanPlace(bars.Right[i], bars.Values[i]))
                continue;
            var (left, right) = (Math.Round(frame.PixelX(bars.Left[i])), Math.Round(frame.PixelX(bars.Right[i])));
            var top = Math.Round(frame.PixelY(bars.Values[i]));
            var gap =
                right - left > 8 ? 2
                : right - left > 3 ? 1
                : 0;
            var height = Math.Abs(foot - top);
            if (height > 0 || bars.Values[i] != 0)
                marks.Add(
                    new BoxMark(
                        new Box(left + gap / 2, Math.Min(top, foot), Math.Max(1, right - left - gap), Math.Max(1, height)),
                        bars.Ink
                    )
                );
        }
        return marks;
    }

    private static List<Mark> Span(ShadedSpan span, PlotFrame frame)
    {
        if (!frame.CanPlace(span.From, frame.Y.Min) || !frame.CanPlace(span.To, frame.Y.Min))
            return [];
        var (left, right) = (frame.PixelX(span.From), frame.PixelX(span.To));
        // A short dropout is still seen: two pixels at least, under a stroke at the upper edge that no waveform hides.
        var width = Math.Max(2, right - left);
        return
        [
            new BoxMark(new Box(left, frame.Area.Top, width, frame.Area.Height), InkRole.Wash),
            new BoxMark(new Box(left, frame.Area.Top, width, 3), InkRole.Soft),
        ];
    }

    private static LineMark Level(LevelMark level, PlotFrame frame)
    {
        var at = AxisMarks.Snap(frame.PixelY(level.Y));
        return new LineMark([new Point(frame.Area.Left, at), new Point(frame.Area.Right, at)], level.Ink, 1, 4);
    }

    private static List<Mark> Wave(WaveformSeries series, PlotFrame frame)
    {
        var wave = series.Waveform;
        if (wave.ColumnCount == 0)
            return [];
        return wave.IsSamples ? Samples(series, frame) : [Envelope(series.Waveform, frame, series.Ink)];
    }

    private static List<Mark> Samples(WaveformSeries series, PlotFrame frame)
    {
        var wave = series.Waveform;
        var points = new Point[wave.ColumnCount];
        for (var i = 0; i < points.Length; i++)
            points[i] = frame.Place(wave.StartSeconds + i * wave.SecondsPerColumn, wave.Maxima[i]);
        var marks = new List<Mark> { new LineMark(Thinning.ByColumn(points), series.Ink) };
        if (points.Length == 1 || points[1].X - points[0].X >= SampleDotSpacingPixels)
            marks.AddRange(points.Where(p => p.X >= frame.Area.Left && p.X <= frame.Area.Right).Select(p => new DotMark(p, 2, series.Ink)));
        return marks;
    }

    /// <summary>The edge of a waveform's envelope, drawn again where a waveform on top covers it.</summary>
    public static IReadOnlyList<Mark> CoveredEdge(WaveformSeries covered, WaveformSeries cover, PlotFrame frame) =>
        covered.Waveform is { IsSamples: false, ColumnCount: > 0 } && cover.Waveform is { IsSamples: false, ColumnCount: > 0 }
            ? HiddenOutline.Of(Envelope(covered.Waveform, frame, covered.Ink), Envelope(cover.Waveform, frame, cover.Ink))
            : [];

    private static AreaMark Envelope(Waveform wave, PlotFrame frame, InkRole ink)
    {
        var pixelsPerColumn = frame.PixelX(wave.StartSeconds + wave.SecondsPerColumn) - frame.PixelX(wave.StartSeconds);
        // No finer than the paper: columns that share a pixel are drawn as one, with the least and greatest of them all.
        var merge = Math.Max(1, (int)Math.Round(1 / Math.Max(pixelsPerColumn, 1e-3)));
        var count = (wave.ColumnCount + merge - 1) / merge;
        var (upper, lower) = (new Point[count], new Point[count]);
        for (var i = 0; i < count; i++)
        {
            var columns = (i * merge)..Math.Min(wave.ColumnCount, (i + 1) * merge);
            var (least, greatest) = (float.PositiveInfinity, float.NegativeInfinity);
            foreach (var value in wave.Minima.AsSpan(columns))
                least = Math.Min(least, value);
            foreach (var value in wave.Maxima.AsSpan(columns))
                greatest = Math.Max(greatest, value);
            var middle = wave.StartSeconds + (columns.Start.Value + columns.End.Value) * 0.5 * wave.SecondsPerColumn;
            var (top, bottom) = (frame.PixelY(greatest), frame.PixelY(least));
            // Silence is a line, not nothing.
            var grow = Math.Max(0, (1 - (bottom - top)) / 2);
            upper[i] = new Point(frame.PixelX(middle), top - grow);
            lower[i] = new Point(frame.PixelX(middle), bottom + grow);
        }
        return new AreaMark([.. upper, .. lower.Reverse()], ink);
    }

    private static IEnumerable<(int Start, int Count)> Runs(int count, Func<int, bool> isDrawn)
    {
        var start = 0;
        while (start < count)
        {
            if (!isDrawn(start))
            {
                start++;
                continue;
            }
            var end = start + 1;
            while (end < count && isDrawn(end))
                end++;
            yield return (start, end - start);
            start = end;
        }
    }
}
