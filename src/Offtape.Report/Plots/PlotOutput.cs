namespace Offtape.Report;

/// <summary>A plot as a file of its own.</summary>
public static class PlotOutput
{
    /// <summary>The width of a figure on a page, in CSS pixels.</summary>
    public const double WideWidthPixels = 832;

    /// <summary>The width of a figure on a phone of 390 pixels.</summary>
    public const double NarrowWidthPixels = 358;

    /// <summary>SVG text; it needs no font installed.</summary>
    public static string ToSvg(this PlotModel plot, double widthPixels = WideWidthPixels, SvgOptions? options = null) =>
        SvgWriter.Write(PlotLayout.Draw(plot, widthPixels), options);

    /// <summary>A PNG file, <paramref name="scale"/> image pixels to the CSS pixel.</summary>
    public static byte[] ToPng(
        this PlotModel plot,
        ReportFonts fonts,
        double widthPixels = WideWidthPixels,
        Palette? palette = null,
        double scale = 2
    ) => Raster.Png(PlotLayout.Draw(plot, widthPixels), fonts, palette ?? Palette.Light, scale);

    /// <summary>A PDF file of one page, as large as the plot.</summary>
    public static byte[] ToPdf(this PlotModel plot, ReportFonts fonts, double widthPixels = WideWidthPixels) =>
        Raster.Pdf([PlotLayout.Draw(plot, widthPixels)], fonts, Palette.Light);
}
