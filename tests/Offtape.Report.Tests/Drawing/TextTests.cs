using CsCheck;
using Offtape.Testing;
using SkiaSharp;

namespace Offtape.Report.Tests;

/// <summary>Splitting text into faces, measuring it, breaking it into lines.</summary>
public sealed class TextTests
{
    private static readonly Gen<string> _anyText = Gen.Char["ab 01.,:-_/+\u2212\u2009%mHz±∞é\n"].Array[0, 120].Select(c => new string(c));

    [Fact]
    public void Numbers_are_set_in_figures_and_their_units_in_soft_ink()
    {
        var runs = TextRuns.Of("Noise −52.3\u2009dBFS at 12.345\u2009678\u2009s, take S2.");
        Assert.Equal(
            [
                ("Noise ", Face.Words, InkRole.Ink),
                ("−52.3", Face.Figures, InkRole.Ink),
                ("\u2009dBFS", Face.Words, InkRole.Soft),
                (" at ", Face.Words, InkRole.Ink),
                ("12.345", Face.Figures, InkRole.Ink),
                ("\u2009", Face.Words, InkRole.Ink),
                ("678", Face.Figures, InkRole.Ink),
                ("\u2009s", Face.Words, InkRole.Soft),
                (", take S2.", Face.Words, InkRole.Ink),
            ],
            runs.Select(r => (r.Text, r.Face, r.Ink))
        );
    }

    [Theory]
    [InlineData("4-track", "4")]
    [InlineData("0:08.312 and 3, 4", "0:08.312|3|4")]
    [InlineData("31.5.", "31.5")]
    [InlineData("+0.31 to ±2", "+0.31|±2")]
    [InlineData("gain −∞", "−∞")]
    [InlineData("pass 7f3a", "7")]
    [InlineData("S2 x_1", "")]
    public void What_counts_as_a_number(string text, string wanted) =>
        Assert.Equal(wanted, string.Join('|', TextRuns.Of(text).Where(r => r.Face == Face.Figures).Select(r => r.Text)));

    [Fact]
    public void Splitting_loses_and_adds_nothing() => _anyText.Sample(text => string.Concat(TextRuns.Of(text).Select(r => r.Text)) == text);

    /// <summary>
    /// The table of widths against the font it was taken from, measured by another program (FreeType through Skia).
    /// Tolerance: the table is rounded to thousandths of the size.
    /// </summary>
    [Fact]
    public void The_table_of_widths_is_the_fonts_own()
    {
        using var words = SKFontManager.Default.MatchFamily("DejaVu Sans");
        using var figures = SKFontManager.Default.MatchFamily("DejaVu Sans Mono");
        Assert.SkipWhen(words?.FamilyName != "DejaVu Sans" || figures?.FamilyName != "DejaVu Sans Mono", "DejaVu Sans is not installed.");
        const double size = 1000;
        foreach (var (face, typeface) in new[] { (Face.Words, words), (Face.Figures, figures) })
        {
            using var font = new SKFont(typeface, (float)size) { Hinting = SKFontHinting.None, LinearMetrics = true };
            for (var character = ' '; character <= '~'; character++)
            {
                var text = character.ToString();
                Measured.Within(font.MeasureText(text), TextMetrics.Width(text, face, size), 0.51, $"width of '{character}' in {face}");
            }
            // Beyond ASCII the table only promises room enough.
            foreach (var text in (string[])["é", "Ü", "ß", "ł", "µ", "°", "·", "…", "\u2212", "±", "σ", "\u2009", "“", "’", "→"])
                Measured.AtMost(TextMetrics.Width(text, face, size) + 0.51, font.MeasureText(text), $"width of '{text}' in {face}");
        }
    }

    [Fact]
    public void Lines_keep_to_their_width_and_their_count_of_characters() =>
        Gen.Select(_anyText, Gen.Double[20, 700], Gen.Int[8, 68])
            .Sample(
                (text, width, characters) =>
                    TextWrapper
                        .Wrap(TextRuns.Of(text), width, TypeSize.Text, characters)
                        .All(line =>
                            // The widest letter is 15 pixels: a line of 20 always holds one.
                            TextMetrics.Width(line, TypeSize.Text)
                                <= width + 1e-9
                            && line.Sum(r => r.Text.Length) <= characters
                        )
            );

    [Fact]
    public void Breaking_lines_loses_and_adds_no_letter() =>
        Gen.Select(_anyText, Gen.Double[20, 700])
            .Sample(
                (text, width) =>
                {
                    var lines = TextWrapper.Wrap(TextRuns.Of(text), width, TypeSize.Text);
                    return WithoutSpaces(string.Concat(lines.Select(TextOf))) == WithoutSpaces(text);
                }
            );

    [Fact]
    public void Lines_break_at_spaces_and_long_names_after_their_hyphens()
    {
        // 12 characters of "a" and their kin fit into 100 pixels: 15 px × 0.613 = 9.2 px each, 10 to a line.
        var lines = TextWrapper.Wrap(TextRuns.Of("aaaa aaaa aaaa-aaaa-aaaa"), 100, TypeSize.Text);
        Assert.Equal(["aaaa aaaa", "aaaa-aaaa-", "aaaa"], lines.Select(TextOf));
    }

    [Fact]
    public void A_shortened_line_fits_and_says_that_it_is_shortened() =>
        Gen.Select(_anyText, Gen.Double[20, 300])
            .Sample(
                (text, width) =>
                {
                    var runs = TextRuns.Of(text);
                    var shortened = TextWrapper.Shorten(runs, width, TypeSize.Note);
                    var fits = TextMetrics.Width(runs, TypeSize.Note) <= width;
                    return TextMetrics.Width(shortened, TypeSize.Note) <= width
                        && (fits ? TextOf(shortened) == text : TextOf(shortened).EndsWith('…'));
                }
            );

    private static string TextOf(IReadOnlyList<TextRun> line) => string.Concat(line.Select(r => r.Text));

    private static string WithoutSpaces(string text) => string.Concat(text.Where(c => c is not (' ' or '\n')));
}
