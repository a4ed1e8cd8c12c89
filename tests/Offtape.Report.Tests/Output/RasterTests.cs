using System.Text;
using System.Text.RegularExpressions;
using Offtape.Base;
using Offtape.Testing;
using SkiaSharp;

namespace Offtape.Report.Tests;

/// <summary>PNG and PDF: the pixels that arithmetic says, the same bytes twice, nothing of the clock.</summary>
public sealed class RasterTests
{
    private static readonly ReportFonts _fonts = ReportFonts.Find();
    private static readonly ReportFonts _noFonts = ReportFonts.Find([], _ => null, _ => null);

    private static PlotModel Plot =>
        new PlotModel("A plot", Axis.Linear("x", "", 0, 10), Axis.Linear("y", "", 0, 10)).With(
            new BarSeries("", [2, 6], [4, 8], [5, 10]),
            new LineSeries("line", [0, 10], [2, 2]) { Ink = InkRole.Bad }
        );

    [Theory, InlineData(1), InlineData(2), InlineData(1.5)]
    public void Bars_fill_the_pixels_that_arithmetic_says(double scale)
    {
        var area = Drawings.Area(PlotLayout.Draw(Plot, 800));
        using var image = SKBitmap.Decode(Plot.ToPng(_fonts, 800, Palette.Light, scale));
        // Three pixels inside an edge and three outside it: the bars stand two pixels apart, snapped to whole pixels.
        const double margin = 3;
        foreach (var (x, y) in ((double, double)[])[(2, 5), (4, 5), (6, 10), (8, 10)])
        {
            var inward = x is 2 or 6 ? margin : -margin;
            var (column, row) = (area.Left + x / 10 * area.Width, area.Bottom - y / 10 * area.Height);
            // Opaque ink on whole pixels is its colour exactly.
            Assert.Equal(Palette.Light.Accent, At(image, (column + inward) * scale, (row + margin) * scale));
            Assert.NotEqual(Palette.Light.Accent, At(image, (column - inward) * scale, (row + margin) * scale));
        }
        Assert.Equal(Palette.Light.Sheet, At(image, (area.Left + area.Width * 0.05) * scale, (area.Top + area.Height * 0.46) * scale));
    }

    [Theory, InlineData(1, 800, 260), InlineData(2, 1600, 520), InlineData(1.5, 1200, 390)]
    public void An_image_is_as_large_as_asked_for(double scale, int width, int height)
    {
        using var image = SKBitmap.Decode(Plot.ToPng(_fonts, 800, Palette.Light, scale));
        Assert.Equal((width, height), (image.Width, image.Height));
    }

    [Fact]
    public void Dark_images_are_dark()
    {
        using var image = SKBitmap.Decode(Plot.ToPng(_fonts, 800, Palette.Dark, 1));
        Assert.Equal(Palette.Dark.Sheet, At(image, 1, 1));
    }

    [Fact]
    public void Words_are_drawn_within_the_room_that_the_layout_gave_them()
    {
        Assert.SkipWhen(_fonts.WordsFamily is null, "No font is installed.");
        var drawing = PlotLayout.Draw(Plot, 800);
        using var image = SKBitmap.Decode(Plot.ToPng(_fonts, 800, Palette.Light, 1));
        using var wordless = SKBitmap.Decode(Plot.ToPng(_noFonts, 800, Palette.Light, 1));
        // Every pixel that the words changed lies in the extent of a text; antialiasing reaches one pixel further.
        var extents = Drawings.Texts(drawing).Select(t => t.Extent).ToArray();
        var changed = extents.ToDictionary(e => e, _ => 0);
        for (var y = 0; y < image.Height; y++)
        for (var x = 0; x < image.Width; x++)
        {
            if (image.GetPixel(x, y) == wordless.GetPixel(x, y))
                continue;
            var home = extents.FirstOrDefault(e => e.Overlaps(new Box(x - 1, y - 1, 3, 3)));
            Assert.NotEqual(default, home);
            changed[home]++;
        }
        Assert.All(changed.Values, count => Measured.AtLeast(4, count, "pixels of a text"));
    }

    [Fact]
    public void The_same_plot_gives_the_same_bytes()
    {
        Assert.Equal(Plot.ToPng(_fonts), Plot.ToPng(_fonts));
        Assert.Equal(Plot.ToPdf(_fonts), Plot.ToPdf(_fonts));
    }

    [Fact]
    public void A_pdf_carries_no_date_and_is_as_large_as_its_plot()
    {
        var text = Encoding.Latin1.GetString(Plot.ToPdf(_fonts, 800));
        Assert.StartsWith("%PDF-", text);
        Assert.DoesNotContain("Date", text);
        // 800 × 260 CSS pixels at 96 to the inch are 600 × 195 points at 72.
        var box = Regex.Match(text, @"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]").Groups;
        // The library rounds to its raster of 720 dots to the inch: half of a tenth of a point.
        Measured.Within(600, double.Parse(box[1].Value), 0.051, "width in points");
        Measured.Within(195, double.Parse(box[2].Value), 0.051, "height in points");
    }

    [Fact]
    public void Without_a_font_everything_else_is_drawn_and_one_notice_says_so()
    {
        var notice = Assert.Single(_noFonts.Notices);
        Assert.Equal("no-font", notice.Code);
        var area = Drawings.Area(PlotLayout.Draw(Plot, 800));
        using var image = SKBitmap.Decode(Plot.ToPng(_noFonts, 800, Palette.Light, 1));
        Assert.Equal(Palette.Light.Accent, At(image, area.Left + 0.3 * area.Width, area.Bottom - 0.1 * area.Height));
        Assert.NotEmpty(Plot.ToPdf(_noFonts));
    }

    [Fact]
    public void The_faces_found_are_the_ones_named()
    {
        Assert.SkipWhen(_fonts.WordsFamily is null, "No font is installed.");
        Assert.Empty(_fonts.Notices);
        Assert.True(_fonts.FiguresFace!.IsFixedPitch);
        Assert.NotEqual(_fonts.WordsFamily, _fonts.FiguresFamily);
    }

    [Fact]
    public void A_font_manager_that_answers_with_another_family_is_not_believed()
    {
        using var serif = SKFontManager.Default.MatchFamily("DejaVu Serif");
        Assert.SkipWhen(serif is null, "DejaVu Serif is not installed.");
        // It answers every question with its default; as the last resort it is taken by its own name, and the digits are told of.
        var fonts = ReportFonts.Find(["DejaVu Serif"], _ => serif, _ => null);
        Assert.Equal("DejaVu Serif", fonts.WordsFamily);
        Assert.Equal(["no-monospaced-font"], fonts.Notices.Select(n => n.Code));
        Assert.Equal("no-font", Assert.Single(ReportFonts.Find([], _ => serif, _ => null).Notices).Code);
    }

    [Theory, InlineData(0.1), InlineData(20)]
    public void Scales_out_of_reason_are_refused(double scale) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Plot.ToPng(_fonts, 800, Palette.Light, scale));

    private static string At(SKBitmap image, double x, double y)
    {
        var colour = image.GetPixel((int)x, (int)y);
        return $"#{colour.Red:X2}{colour.Green:X2}{colour.Blue:X2}";
    }
}
