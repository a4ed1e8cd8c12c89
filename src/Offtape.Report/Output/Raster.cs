using SkiaSharp;

namespace Offtape.Report;

/// <summary>Writes drawings as PNG and PDF. The same drawing with the same fonts gives the same bytes: no clock and no random number goes in.</summary>
internal static class Raster
{
    /// <summary>Points of PDF (1/72 inch) in one CSS pixel (1/96 inch).</summary>
    private const float PointsPerPixel = 0.75f;

    /// <param name="drawing">What to draw.</param>
    /// <param name="fonts">The faces to draw it in.</param>
    /// <param name="palette">The colours.</param>
    /// <param name="scale">Pixels of the image in one CSS pixel, 0.5 to 8.</param>
    public static byte[] Png(Drawing drawing, ReportFonts fonts, Palette palette, double scale)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(scale, 0.5);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(scale, 8);
        var info = new SKImageInfo(
            (int)Math.Ceiling(drawing.Width * scale),
            (int)Math.Ceiling(drawing.Height * scale),
            SKColorType.Rgba8888,
            SKAlphaType.Premul
        );
        using var surface = SKSurface.Create(info);
        surface.Canvas.Clear(SkiaPainter.ColorOf(palette, InkRole.Sheet));
        surface.Canvas.Scale((float)scale);
        SkiaPainter.Draw(surface.Canvas, drawing, palette, fonts);
        using var image = surface.Snapshot();
        using var data = image.Encode(SKEncodedImageFormat.Png, 100);
        return data.ToArray();
    }

    /// <summary>One page a drawing, each of its own size.</summary>
    public static byte[] Pdf(IReadOnlyList<Drawing> drawings, ReportFonts fonts, Palette palette)
    {
        // No dates: without them the file says only what it shows.
        var metadata = new SKDocumentPdfMetadata
        {
            Title = drawings[0].Title,
            Creator = "Offtape",
            Creation = null,
            Modified = null,
            // Nothing is rasterised; but the library rounds the size of a page to whole dots of this.
            RasterDpi = 720,
            EncodingQuality = 101,
        };
        using var stream = new MemoryStream();
        using (var document = SKDocument.CreatePdf(stream, metadata))
        {
            foreach (var drawing in drawings)
            {
                var canvas = document.BeginPage((float)drawing.Width * PointsPerPixel, (float)drawing.Height * PointsPerPixel);
                canvas.Scale(PointsPerPixel);
                SkiaPainter.Draw(canvas, drawing, palette, fonts);
                document.EndPage();
            }
            document.Close();
        }
        return stream.ToArray();
    }
}
