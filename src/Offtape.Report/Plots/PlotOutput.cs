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
}
