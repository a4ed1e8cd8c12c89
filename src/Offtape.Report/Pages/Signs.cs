namespace Offtape.Report;

/// <summary>The few signs of a page, drawn rather than taken from a font, so that every machine shows the same.</summary>
internal static class Signs
{
    public const string Box =
        "<svg viewBox=\"0 0 16 16\" aria-hidden=\"true\"><rect class=\"s-ink\" x=\"1.5\" y=\"1.5\" width=\"13\" height=\"13\" fill=\"none\" stroke=\"#1E2227\"/></svg>";

    public static string ClassOf(CautionKind kind) =>
        kind switch
        {
            CautionKind.Note => "accent",
            CautionKind.Warn => "warn",
            _ => "bad",
        };

    /// <summary>A ring for a note, a triangle for a warning, an octagon for a danger.</summary>
    public static string Of(CautionKind kind)
    {
        var (role, outline) = kind switch
        {
            CautionKind.Note => (InkRole.Accent, "M8 1.5A6.5 6.5 0 1 1 7.99 1.5Z"),
            CautionKind.Warn => (InkRole.Warn, "M8 1.5L15.2 14.5H.8Z"),
            _ => (InkRole.Bad, "M5.2 1.2H10.8L14.8 5.2V10.8L10.8 14.8H5.2L1.2 10.8V5.2Z"),
        };
        var stroke = $"s-{ClassOf(kind)}";
        var inside = kind switch
        {
            CautionKind.Note => "M8 7V11.5M8 4.5V6",
            CautionKind.Warn => "M8 6V10M8 11.5V13",
            _ => "M8 4.5V8.8M8 10.3V11.8",
        };
        return "<svg viewBox=\"0 0 16 16\" aria-hidden=\"true\">"
            + $"<path class=\"{stroke}\" d=\"{outline}\" fill=\"none\" stroke=\"{Palette.Light[role]}\"/>"
            + $"<path class=\"{stroke}\" d=\"{inside}\" fill=\"none\" stroke=\"{Palette.Light[role]}\" stroke-width=\"1.5\"/></svg>";
    }
}
