using System.Globalization;
using Offtape.Testing;

namespace Offtape.Report.Tests;

/// <summary>Checks every pair of text on ground against the contrast formula of WCAG 2.2, written out here.</summary>
public sealed class PaletteTests
{
    /// <summary>Above WCAG's 4.5 : 1 for text (success criterion 1.4.3); the look asks for this much.</summary>
    private const double LeastTextContrast = 5.5;

    public static TheoryData<string, InkRole, InkRole> TextPairs
    {
        get
        {
            var pairs = new TheoryData<string, InkRole, InkRole>();
            foreach (var palette in (string[])["light", "dark"])
            foreach (var text in (InkRole[])[InkRole.Ink, InkRole.Soft, InkRole.Accent, InkRole.Warn, InkRole.Bad])
            foreach (var ground in (InkRole[])[InkRole.Paper, InkRole.Sheet])
                pairs.Add(palette, text, ground);
            // On a wash stand plain words only.
            pairs.Add("light", InkRole.Ink, InkRole.Wash);
            pairs.Add("dark", InkRole.Ink, InkRole.Wash);
            return pairs;
        }
    }

    [Theory, MemberData(nameof(TextPairs))]
    public void Text_can_be_read(string palette, InkRole text, InkRole ground)
    {
        var colours = palette == "light" ? Palette.Light : Palette.Dark;
        Measured.AtLeast(LeastTextContrast, Contrast(colours[text], colours[ground]), $"{text} on {ground}, {palette}");
    }

    /// <summary>The formula itself: black on white is 21 : 1 by definition, and #777777 on white is the well-known 4.48 : 1.</summary>
    [Fact]
    public void The_formula_gives_its_published_ends()
    {
        Measured.Within(21, Contrast("#000000", "#FFFFFF"), 1e-12, "black on white");
        Measured.Within(4.48, Contrast("#777777", "#FFFFFF"), 0.005, "mid grey on white, two decimals");
    }

    [Fact]
    public void Every_role_has_a_colour_in_both_palettes()
    {
        foreach (var role in Enum.GetValues<InkRole>())
        {
            Assert.Matches("^#[0-9A-F]{6}$", Palette.Light[role]);
            Assert.Matches("^#[0-9A-F]{6}$", Palette.Dark[role]);
        }
    }

    // WCAG 2.2, definitions of contrast ratio and relative luminance.
    private static double Contrast(string first, string second)
    {
        var (a, b) = (Luminance(first), Luminance(second));
        return (Math.Max(a, b) + 0.05) / (Math.Min(a, b) + 0.05);
    }

    private static double Luminance(string colour)
    {
        double Channel(int at)
        {
            var value = int.Parse(colour.AsSpan(at, 2), NumberStyles.HexNumber, CultureInfo.InvariantCulture) / 255.0;
            return value <= 0.04045 ? value / 12.92 : Math.Pow((value + 0.055) / 1.055, 2.4);
        }
        return 0.2126 * Channel(1) + 0.7152 * Channel(3) + 0.0722 * Channel(5);
    }
}
