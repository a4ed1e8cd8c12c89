namespace Offtape.Report;

/// <summary>
/// A printed sheet: heading, a column of text, ruled tables, plots, boxes to tick, cautions; as many pages as it takes. Immutable: each call
/// gives a new sheet. The same sheet gives the same bytes.
/// </summary>
public sealed record Sheet : IBlockDocument<Sheet>
{
    private Sheet(string title) => Title = title;

    public string Title { get; }

    /// <summary>The sentence under the title that says it all.</summary>
    public string LeadText { get; init; } = "";

    public PaperSize Paper { get; init; } = PaperSize.A4;

    public IReadOnlyList<Block> Blocks { get; init; } = [];

    /// <summary>One line at the foot of each page, before the page number.</summary>
    public string FooterText { get; init; } = "";

    public static Sheet Create(string title, PaperSize? paper = null) => new(title) { Paper = paper ?? PaperSize.A4 };

    public Sheet Lead(string text) => this with { LeadText = text };

    public Sheet Footer(string text) => this with { FooterText = text };

    public Sheet Add(params Block[] blocks) => this with { Blocks = [.. Blocks, .. blocks] };

    /// <summary>One SVG a page; they need no font installed.</summary>
    public IReadOnlyList<string> ToSvg() =>
        [.. SheetLayout.Draw(this).Select((page, i) => SvgWriter.Write(page, new SvgOptions { IdPrefix = $"page-{i + 1}" }))];

    /// <summary>One PNG a page, <paramref name="scale"/> image pixels to the CSS pixel.</summary>
    public IReadOnlyList<byte[]> ToPng(ReportFonts fonts, Palette? palette = null, double scale = 2) =>
        [.. SheetLayout.Draw(this).Select(page => Raster.Png(page, fonts, palette ?? Palette.Light, scale))];

    /// <summary>One PDF with all pages, in the paper's size.</summary>
    public byte[] ToPdf(ReportFonts fonts) => Raster.Pdf(SheetLayout.Draw(this), fonts, Palette.Light);
}
