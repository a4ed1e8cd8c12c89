using CsCheck;
using Offtape.Testing;

namespace Offtape.Report.Tests;

/// <summary>A plot laid out: values stand where arithmetic puts them, words keep clear of each other.</summary>
public sealed class PlotLayoutTests
{
    /// <summary>Pixels are doubles until they are written: only their rounding is allowed.</summary>
    private const double Rounding = 1e-9;

    private static readonly PlotModel _ten = new("ten", Axis.Linear("x", "", 0, 10), Axis.Linear("y", "", 0, 10));

    [Fact]
    public void A_line_runs_from_corner_to_corner()
    {
        var drawing = PlotLayout.Draw(_ten.With(new LineSeries("", [0, 5, 10], [0, 5, 10])), 800);
        var area = Drawings.Area(drawing);
        var line = Drawings.Group(drawing, "series").Children.OfType<LineMark>().Single();
        Same(new Point(area.Left, area.Bottom), line.Points[0]);
        Same(new Point(area.Left + area.Width / 2, area.Top + area.Height / 2), line.Points[1]);
        Same(new Point(area.Right, area.Top), line.Points[2]);
    }

    [Fact]
    public void A_line_on_a_logarithmic_axis_is_where_its_logarithm_is()
    {
        var plot = new PlotModel("log", Axis.Frequency("f", 10, 1000), Axis.Linear("y", "", 0, 1)).With(
            new LineSeries("", [0, -5, 10, 100, 1000], [0, 0, 0, 0.5, 1])
        );
        var drawing = PlotLayout.Draw(plot, 800);
        var area = Drawings.Area(drawing);
        // Places at and below zero have no logarithm: the line begins at the third.
        var line = Drawings.Group(drawing, "series").Children.OfType<LineMark>().Single();
        Assert.Equal(3, line.Points.Count);
        Same(new Point(area.Left + area.Width / 2, area.Top + area.Height / 2), line.Points[1]);
    }

    [Fact]
    public void A_value_that_is_not_known_breaks_the_line()
    {
        var line = new LineSeries("", [0, 1, 2, 3, 4], [1, 2, double.NaN, 4, double.NegativeInfinity]);
        var marks = Drawings.Group(PlotLayout.Draw(_ten.With(line), 800), "series").Children;
        Assert.Equal(2, Assert.IsType<LineMark>(marks[0]).Points.Count);
        // A value alone between two gaps is a dot: a line of one point would not be seen.
        Assert.IsType<DotMark>(marks[1]);
        Assert.Equal(2, marks.Count);
    }

    [Fact]
    public void Bars_reach_from_the_foot_to_their_value()
    {
        var bars = new BarSeries("", [2, 6], [4, 8], [5, 10]);
        var drawing = PlotLayout.Draw(_ten.With(bars), 800);
        var area = Drawings.Area(drawing);
        var boxes = Drawings.Group(drawing, "series").Children.OfType<BoxMark>().Select(b => b.Box).ToArray();
        // Bars stand on whole pixels with a gap of two between neighbours: within two pixels of the arithmetic.
        const double snapping = 2;
        Measured.Within(area.Left + 0.2 * area.Width, boxes[0].Left, snapping, "left edge");
        Measured.Within(area.Left + 0.4 * area.Width, boxes[0].Right, snapping, "right edge");
        Measured.Within(area.Top + area.Height / 2, boxes[0].Top, snapping, "upper edge of the half");
        Measured.Within(area.Top, boxes[1].Top, snapping, "upper edge of the whole");
        Assert.All(boxes, box => Measured.Within(area.Bottom, box.Bottom, 0.5, "foot: half a pixel of rounding"));
    }

    [Fact]
    public void Bars_below_zero_hang()
    {
        var plot = new PlotModel("", Axis.Linear("x"), Axis.Linear("y")).With(new BarSeries("", [0, 1], [1, 2], [3, -3]));
        var boxes = Drawings.Group(PlotLayout.Draw(plot, 800), "series").Children.OfType<BoxMark>().Select(b => b.Box).ToArray();
        Assert.Equal(boxes[0].Bottom, boxes[1].Top);
        Assert.Equal(boxes[0].Height, boxes[1].Height, 1.0);
    }

    /// <summary>Edges of a third-octave band, IEC 61260-1: the centre times and divided by 10^0.05, for 1 kHz 891.25 and 1122.0 Hz.</summary>
    [Fact]
    public void Third_octave_bars_have_the_edges_of_their_bands()
    {
        var bars = BarSeries.ThirdOctaves("", [1000], [0]);
        Measured.Within(891.25, bars.Left[0], 0.005, "lower edge, two decimals");
        Measured.Within(1122.02, bars.Right[0], 0.005, "upper edge, two decimals");
    }

    [Fact]
    public void A_band_goes_out_along_one_edge_and_back_along_the_other()
    {
        var drawing = PlotLayout.Draw(_ten.With(new BandSeries("", [0, 10], [2, 3], [4, 5])), 800);
        var area = Drawings.Area(drawing);
        Point At(double x, double y) => new(area.Left + x / 10 * area.Width, area.Bottom - y / 10 * area.Height);
        var corners = Drawings.Group(drawing, "series").Children.OfType<AreaMark>().Single().Corners;
        Assert.Equal(4, corners.Count);
        foreach (var (wanted, got) in ((Point[])[At(0, 4), At(10, 5), At(10, 3), At(0, 2)]).Zip(corners))
            Same(wanted, got);
    }

    /// <summary>The drawn envelope against the least and greatest of all samples under each of its corners.</summary>
    [Fact]
    public void A_waveform_shows_every_peak()
    {
        var audio = new float[100_000];
        audio[12_345] = 0.9f;
        audio[76_543] = -0.7f;
        var plot = new PlotModel("", Axis.Clock("t"), Axis.Amplitude(1)).With(new WaveformSeries("", Waveform.Of(audio, 1000, 0, 5000)));
        var drawing = PlotLayout.Draw(plot, 400);
        var area = Drawings.Area(drawing);
        var corners = Drawings.Group(drawing, "series").Children.OfType<AreaMark>().Single().Corners;
        var highest = corners.MinBy(p => p.Y);
        var lowest = corners.MaxBy(p => p.Y);
        Measured.Within(
            area.Top + (1 - 0.9) / 2 * area.Height,
            highest.Y,
            1e-5,
            "height of the peak: 0.9f is 2.4e-8 off 0.9, times the height in pixels"
        );
        Measured.Within(area.Top + (1 + 0.7) / 2 * area.Height, lowest.Y, 1e-5, "depth of the dip");
        // The place of a column is its middle: within the pixel that it was merged into.
        Measured.Within(area.Left + 12.345 / 100 * area.Width, highest.X, 1, "place of the peak");
        Measured.Within(area.Left + 76.543 / 100 * area.Width, lowest.X, 1, "place of the dip");
    }

    [Fact]
    public void Silence_is_a_line_one_pixel_high()
    {
        var plot = new PlotModel("", Axis.Clock("t"), Axis.Amplitude(1)).With(new WaveformSeries("", Waveform.Of(new float[5000], 1000)));
        var corners = Drawings.Group(PlotLayout.Draw(plot, 800), "series").Children.OfType<AreaMark>().Single().Corners;
        Measured.Within(1, corners.Max(c => c.Y) - corners.Min(c => c.Y), Rounding, "height of silence");
    }

    [Fact]
    public void Samples_close_up_are_dots_on_a_line()
    {
        var plot = new PlotModel("", Axis.Clock("t"), Axis.Amplitude(1)).With(new WaveformSeries("", Waveform.Of([0, 0.5f, -0.5f], 1000)));
        var marks = Drawings.Group(PlotLayout.Draw(plot, 800), "series").Children;
        Assert.Equal(3, marks.OfType<DotMark>().Count());
        Assert.Equal(3, marks.OfType<LineMark>().Single().Points.Count);
    }

    /// <summary>Square waves, whose envelopes are level lines: 0.25 under 0.5 is hidden, 0.5 under 0.25 stands out by itself.</summary>
    [Fact]
    public void Of_two_waveforms_the_lower_ones_edge_comes_through_where_it_is_covered()
    {
        static Waveform Square(float height) =>
            Waveform.Of([.. Enumerable.Range(0, 9000).Select(i => i % 2 == 0 ? height : -height)], 1000);
        var covered = PlotLayout.Draw(PlotModel.Overlay("", Square(0.25f), Square(0.5f)), 800);
        var area = Drawings.Area(covered);
        var edges = Drawings.Group(covered, "outline").Children.Cast<LineMark>().ToArray();
        // The axis reaches from −0.56 to 0.56: 0.5 and a margin of 0.06 of the whole on both sides.
        foreach (var (value, edge) in ((double[])[0.25, -0.25]).Zip(edges))
        {
            Assert.Equal(InkRole.Ink, edge.Ink);
            Assert.All(
                edge.Points,
                p => Measured.Within(area.Top + (0.56 - value) / 1.12 * area.Height, p.Y, Rounding, "height of the edge")
            );
        }
        Assert.Equal(2, edges.Length);
        Assert.Equal("outline", Drawings.Flat(covered.Marks).OfType<GroupMark>().Last(g => g.Kind is "series" or "outline").Kind);
        Assert.Empty(Drawings.Groups(PlotLayout.Draw(PlotModel.Overlay("", Square(0.5f), Square(0.25f)), 800), "outline"));
    }

    [Fact]
    public void Points_outside_the_axes_are_not_drawn()
    {
        var points = new PointSeries("", [-1, 0, 5, 10, 11], [5, 5, 5, 5, 5]);
        var dots = Drawings.Group(PlotLayout.Draw(_ten.With(points), 800), "series").Children.OfType<DotMark>();
        Assert.Equal([(0.0, 5.0), (5.0, 5.0), (10.0, 5.0)], dots.Select(d => d.Value!.Value));
    }

    [Fact]
    public void Wide_plots_name_lines_at_their_end_and_narrow_ones_in_the_legend()
    {
        var plot = _ten.With(new LineSeries("lock", [0, 10], [1, 2]), new LineSeries("steady", [0, 10], [8, 9]));
        var wide = Drawings.Texts(PlotLayout.Draw(plot, 800)).Single(t => Drawings.TextOf(t) == "lock");
        Assert.True(wide.At.X > Drawings.Area(PlotLayout.Draw(plot, 800)).Right);
        var narrow = Drawings.Texts(PlotLayout.Draw(plot, 358)).Single(t => Drawings.TextOf(t) == "lock");
        Assert.True(narrow.At.Y < Drawings.Area(PlotLayout.Draw(plot, 358)).Top);
    }

    [Fact]
    public void Each_name_is_written_once() =>
        Gen.Select(AnyPlot, Gen.Double[300, 1200])
            .Sample(
                (plot, width) =>
                {
                    var texts = Drawings.Texts(PlotLayout.Draw(plot, width)).Select(Drawings.TextOf).ToArray();
                    return plot.Series.OfType<LineSeries>().All(s => texts.Count(t => t == s.Label) == 1);
                }
            );

    [Fact]
    public void Words_never_touch_and_never_leave_the_drawing() =>
        Gen.Select(AnyPlot, Gen.Double[300, 1200]).Sample((plot, width) => Drawings.TextsKeepClear(PlotLayout.Draw(plot, width)));

    [Fact]
    public void Numbers_of_places_and_values_must_agree() =>
        Assert.Throws<ArgumentException>(() => new LineSeries("uneven", [1, 2, 3], [1, 2]));

    [Fact]
    public void A_plot_of_nothing_is_still_a_plot() =>
        Drawings.TextsKeepClear(PlotLayout.Draw(new PlotModel("", new Axis(""), new Axis("")), 300));

    private static void Same(Point wanted, Point got)
    {
        Measured.Within(wanted.X, got.X, Rounding, "x in pixels");
        Measured.Within(wanted.Y, got.Y, Rounding, "y in pixels");
    }

    private static Gen<PlotModel> AnyPlot =>
        from size in Gen.Double[-6, 6]
        from offset in Gen.Double[-3, 3]
        from scale in Gen.Enum<AxisScale>()
        from ySize in Gen.Double[-4, 5]
        from lines in Gen.Int[0, 9]
        from marks in Gen.Double[0, 1].Array[0, 12]
        from spans in Gen.Double[0, 1].Array[0, 4]
        from titleWords in Gen.Int[0, 14]
        from height in Gen.Double[120, 400]
        select Make(size, offset, scale, ySize, lines, marks, spans, titleWords, height);

    private static PlotModel Make(
        double size,
        double offset,
        AxisScale scale,
        double ySize,
        int lines,
        double[] marks,
        double[] spans,
        int titleWords,
        double height
    )
    {
        var (low, span) = (offset * Math.Pow(10, size), Math.Pow(10, size));
        if (scale == AxisScale.Logarithmic)
            (low, span) = (Math.Pow(10, offset), Math.Pow(10, offset) * (Math.Pow(10, Math.Abs(size) / 2 + 0.05) - 1));
        double At(double fraction) => low + fraction * span;
        var series = new List<Series>();
        for (var i = 0; i < lines; i++)
            series.Add(new LineSeries($"line number {i + 1}", [At(0), At(1)], [0, Math.Pow(10, ySize) * Math.Cos(i * 2.4)]));
        series.AddRange(marks.Select((m, i) => new UprightMark(At(m), $"mark {i + 1} at a beat")));
        series.AddRange(spans.Select(s => new ShadedSpan(At(s), At(s) + span / 100, "dropout 42\u2009ms")));
        series.Add(new LevelMark(Math.Pow(10, ySize) / 3, "limit"));
        series.Add(new PointSeries("points measured", [At(0.5)], [0]));
        var title = string.Join(' ', Enumerable.Repeat("winding", titleWords));
        return new PlotModel(title, new Axis("some quantity", "unit", scale), Axis.Linear("another quantity", "unit"))
        {
            Series = series,
            HeightPixels = height,
        };
    }
}
