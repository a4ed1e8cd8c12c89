namespace Offtape.Report;

/// <summary>A size of paper, in CSS pixels (96 to the inch), upright.</summary>
public sealed record PaperSize(string Name, double WidthPixels, double HeightPixels)
{
    /// <summary>210 × 297 mm (ISO 216).</summary>
    public static readonly PaperSize A4 = new("A4", 210 / 25.4 * 96, 297 / 25.4 * 96);

    /// <summary>8.5 × 11 inches (ANSI/ASME Y14.1, size A).</summary>
    public static readonly PaperSize Letter = new("Letter", 8.5 * 96, 11 * 96);
}
