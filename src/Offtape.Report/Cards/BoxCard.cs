namespace Offtape.Report;

/// <summary>What a card is folded or cut for.</summary>
public enum BoxShape
{
    /// <summary>The folded card of a cassette's box: flap, spine, front, and an inner page.</summary>
    CassetteCard,

    /// <summary>A square for the lid of a 7 in reel's box.</summary>
    ReelBox,
}

/// <summary>
/// A card for the box of a tape, in its true size on a sheet of A4, with lines to cut and to fold along. The same card gives the same bytes.
/// </summary>
/// <param name="Shape">Cassette or reel.</param>
/// <param name="Name">What the tape is called: on spine and front.</param>
/// <param name="Spine">What else the spine says, in few words.</param>
/// <param name="Facts">Type, length, machine, speed: names and values.</param>
/// <param name="Sides">One table a side, captioned with its name.</param>
public sealed record BoxCard(
    BoxShape Shape,
    string Name,
    string Spine,
    IReadOnlyList<(string Name, string Value)> Facts,
    IReadOnlyList<ReportTable> Sides
)
{
    /// <summary>Where what has no room on the card can be read.</summary>
    public string MoreText { get; init; } = "";

    /// <summary>The page, without any font installed.</summary>
    public string ToSvg() => SvgWriter.Write(BoxCardLayout.Draw(this), new SvgOptions { IdPrefix = "box" });

    /// <summary>The page in its size; printed without scaling the card fits its box.</summary>
    public byte[] ToPdf(ReportFonts fonts) => Raster.Pdf([BoxCardLayout.Draw(this)], fonts, Palette.Light);

    /// <param name="fonts">The faces.</param>
    /// <param name="scale">Image pixels to the CSS pixel.</param>
    public byte[] ToPng(ReportFonts fonts, double scale = 2) => Raster.Png(BoxCardLayout.Draw(this), fonts, Palette.Light, scale);
}
