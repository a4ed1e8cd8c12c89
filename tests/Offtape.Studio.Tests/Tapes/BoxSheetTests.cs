using System.Text;
using Offtape.Report;
using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Studio.Tests;

/// <summary>The card of a box says what stands on the tape now, and fits its box.</summary>
public sealed class BoxSheetTests
{
    internal static TapeEntry Tape(bool isCassette = true, int lines = 3) =>
        new("Lantern Quay 1")
        {
            Medium = isCassette ? "cassette" : "quarter-inch",
            Type = isCassette ? "I" : null,
            LengthMetres = TapeLengths.MetresOf(isCassette ? "C60" : "1200ft"),
            Format = isCassette ? TrackFormats.CassetteStereo : TrackFormats.HalfTrackMono,
            Sides =
            [
                new TapeSide("A", 85.7)
                {
                    TrackNumbers = [1, 2],
                    Stretches =
                    [
                        .. Enumerable
                            .Range(0, lines)
                            .Select(i => new UsedStretch(1 + 5 * i, 5 + 5 * i)
                            {
                                At = $"{i:00}",
                                What = new[] { "brushed kit", "marimba figure", "bowed glass", "low pulse" }[i % 4],
                                SpeedCmPerSecond = 4.7625,
                                Times = 1,
                            }),
                    ],
                },
                new TapeSide("B", 85.7)
                {
                    TrackNumbers = [3, 4],
                    Stretches = [new UsedStretch(0.5, 12) { What = "low pulse", IsReversed = true }],
                },
            ],
        };

    [Fact]
    public void It_says_what_stands_where()
    {
        var svg = BoxSheet.Of(Tape(), TapeSpeeds.OneAndSevenEighths.Speed, CounterCurve.Fit([new(100, 17)])).ToSvg();
        foreach (var words in new[] { "Lantern Quay 1", "brushed kit", "marimba figure", "backwards", "Side A", "Side B", "counter" })
            Assert.Contains(words, svg, StringComparison.Ordinal);
        // 1 m at 4.7625 cm/s is 21 s in; 17 m are 100 counts.
        Assert.Contains("0:21", svg, StringComparison.Ordinal);
        Assert.Contains("006", svg, StringComparison.Ordinal);
    }

    [Fact]
    public void What_has_no_room_is_counted_and_not_drawn_over_the_edge()
    {
        var card = BoxSheet.Of(Tape(lines: 20), TapeSpeeds.OneAndSevenEighths.Speed);
        Assert.Contains("more line", card.ToSvg(), StringComparison.Ordinal);
        Assert.DoesNotContain("more line", BoxSheet.Of(Tape(), TapeSpeeds.OneAndSevenEighths.Speed).ToSvg(), StringComparison.Ordinal);
    }

    /// <summary>A4 is 595.28 by 841.89 points (ISO 216; 72 points to the inch). The same card gives the same bytes.</summary>
    [Theory, InlineData(true), InlineData(false)]
    public void It_prints_on_a_page_of_A4(bool isCassette)
    {
        var card = BoxSheet.Of(Tape(isCassette), TapeSpeeds.SevenAndAHalf.Speed);
        var pdf = card.ToPdf(ReportFonts.Find());
        Assert.Equal(pdf, card.ToPdf(ReportFonts.Find()));
        var text = Encoding.Latin1.GetString(pdf);
        var box = System.Text.RegularExpressions.Regex.Match(text, @"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]");
        Measured.Within(595.28, double.Parse(box.Groups[1].Value), 0.06, "points wide");
        Measured.Within(841.89, double.Parse(box.Groups[2].Value), 0.06, "points high");
    }
}
