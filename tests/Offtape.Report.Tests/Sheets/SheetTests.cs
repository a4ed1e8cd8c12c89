using System.Text;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using CsCheck;
using Offtape.Testing;

namespace Offtape.Report.Tests;

/// <summary>Printed sheets: everything on the paper, once, in order, and nothing over its edge.</summary>
public sealed class SheetTests
{
    private const double Slack = 1e-6;

    private static readonly Gen<string> _cellText = Gen.OneOf(
        Gen.Char["abc 0123.-\u2212_\u2009%"].Array[0, 30].Select(c => new string(c)),
        Gen.Char["abcdefgh-"].Array[0, 140].Select(c => new string(c)),
        Gen.Const("")
    );

    private static readonly Gen<ReportTable> _anyTable =
        from columns in Gen.Select(_cellText, Gen.Bool).Array[1, 12]
        from rowCount in Gen.Int[0, 60]
        from cells in _cellText.Array[columns.Length * rowCount]
        from caption in _cellText
        select new ReportTable(caption)
        {
            Columns = [.. columns.Select(c => new TableColumn(c.Item1, c.Item2))],
            Rows = [.. cells.Chunk(columns.Length).Select(row => row.Select(c => new TableCell(c)).ToArray())],
        };

    public static TheoryData<string> Papers => ["A4", "Letter"];

    [Theory, MemberData(nameof(Papers))]
    public void Tables_never_leave_the_paper_and_lose_no_word(string paper) =>
        _anyTable.Sample(
            table =>
            {
                var pages = SheetLayout.Draw(Sheet.Create("t", PaperOf(paper)).Table(table));
                foreach (var page in pages)
                    StaysWithinMargins(page);
                // Letters in all cells against letters on all pages: words are broken over lines, headings repeated, so letters are counted.
                var drawn = LettersOf(pages.SelectMany(Drawings.Texts).Select(Drawings.TextOf));
                var wanted = LettersOf(table.Rows.SelectMany(r => r).Select(c => c.Text));
                foreach (var (letter, count) in wanted)
                    Measured.AtLeast(count, drawn.GetValueOrDefault(letter), $"count of '{letter}'");
            },
            iter: 60
        );

    [Theory, MemberData(nameof(Papers))]
    public void Words_on_a_page_never_touch(string paper) =>
        _anyTable.Sample(
            table =>
            {
                var sheet = Long(PaperOf(paper)).Table(table);
                foreach (var page in SheetLayout.Draw(sheet))
                    Drawings.TextsKeepClear(page);
            },
            iter: 8
        );

    [Theory, MemberData(nameof(Papers))]
    public void A_text_column_is_at_most_68_characters_wide(string paper)
    {
        foreach (var text in SheetLayout.Draw(Long(PaperOf(paper))).SelectMany(Drawings.Texts).Where(t => t.Size == TypeSize.Text))
            Measured.AtMost(68, Drawings.TextOf(text).Length, Drawings.TextOf(text));
    }

    [Fact]
    public void A_table_over_several_pages_repeats_its_heading_and_keeps_its_order()
    {
        var table = ReportTable.Create("").Words("sound").Figures("place");
        for (var i = 1; i <= 120; i++)
            table = table.Row($"sound-{i}", $"{i}");
        var pages = SheetLayout.Draw(Sheet.Create("t").Table(table));
        Assert.True(pages.Count >= 3);
        foreach (var page in pages)
            Assert.Equal(1, Drawings.Texts(page).Count(t => Drawings.TextOf(t) == "place"));
        var rows = pages.SelectMany(p =>
            Drawings.Texts(p).Select(Drawings.TextOf).Where(t => t.StartsWith("sound-", StringComparison.Ordinal))
        );
        Assert.Equal(Enumerable.Range(1, 120).Select(i => $"sound-{i}"), rows);
    }

    [Fact]
    public void Wide_tables_become_blocks_of_names_and_values()
    {
        var table = ReportTable.Create("");
        for (var i = 0; i < 12; i++)
            table = table.Figures($"a rather long heading {i}");
        table = table.Row([.. Enumerable.Range(0, 12).Select(i => new TableCell($"{i}.5"))]);
        var texts = Drawings.Texts(SheetLayout.Draw(Sheet.Create("t").Table(table)).Single()).ToArray();
        for (var i = 0; i < 12; i++)
        {
            var name = texts.Single(t => Drawings.TextOf(t) == $"a rather long heading {i}");
            var value = texts.Single(t => Drawings.TextOf(t) == $"{i}.5");
            Assert.Equal(name.At.Y, value.At.Y);
        }
    }

    [Fact]
    public void A_heading_is_never_the_last_on_a_page()
    {
        for (var lines = 20; lines < 60; lines++)
        {
            var sheet = Sheet.Create("t");
            for (var i = 0; i < lines; i++)
                sheet = sheet.Text($"line {i}");
            var pages = SheetLayout.Draw(sheet.Section("the heading").Text("the text under it"));
            var home = pages.Single(p => Drawings.Texts(p).Any(t => Drawings.TextOf(t) == "the heading"));
            Assert.Contains(Drawings.Texts(home), t => Drawings.TextOf(t) == "the text under it");
        }
    }

    [Fact]
    public void Pieces_are_laid_once_each_in_order_and_within_the_page() =>
        Gen.Select(Gen.Select(Gen.Double[5, 300], Gen.Double[0, 40], Gen.Bool).Array[0, 60], Gen.Double[300, 900])
            .Sample(
                (drafts, height) =>
                {
                    var heading = new Piece(20, []);
                    var pieces = drafts
                        .Select(d => new Piece(d.Item1, [])
                        {
                            SpaceBefore = d.Item2,
                            StaysWithNext = d.Item3,
                            Repeated = d.Item3 ? heading : null,
                        })
                        // Reference equality is asked for below; equal drafts must not be the same piece.
                        .ToArray();
                    var pages = Paginator.Lay(pieces, height, height);
                    var laid = pages.SelectMany(p => p).Where(p => !ReferenceEquals(p.Piece, heading)).Select(p => p.Piece);
                    if (!laid.SequenceEqual(pieces, ReferenceEqualityComparer.Instance.ForPieces()))
                        return false;
                    return pages.All(page =>
                        page.All(p => p.Top + p.Piece.Height <= height + 20 + Slack)
                        && page.Zip(page.Skip(1)).All(p => p.Second.Top >= p.First.Top + p.First.Piece.Height - Slack)
                    );
                }
            );

    [Fact]
    public void What_stays_together_stands_on_one_page()
    {
        Piece[] pieces = [new Piece(500, []), new Piece(100, []) { StaysWithNext = true }, new Piece(450, [])];
        var pages = Paginator.Lay(pieces, 1000, 1000);
        Assert.Equal([1, 2], pages.Select(p => p.Count));
    }

    [Fact]
    public void A_sheet_of_every_kind_of_block_is_well_formed_svg_one_file_a_page()
    {
        var pages = Long(PaperSize.A4).ToSvg();
        Assert.True(pages.Count >= 2);
        for (var i = 0; i < pages.Count; i++)
        {
            var root = XDocument.Parse(pages[i]).Root!;
            // 210 × 297 mm at 96 pixels to the 25.4 mm, to two decimals.
            Assert.Equal("0 0 793.7 1122.52", root.Attribute("viewBox")!.Value);
            Assert.Contains(root.Descendants(), e => e.Value == $"{i + 1} of {pages.Count}");
        }
    }

    [Theory, InlineData("A4", "595.27557 841.88977"), InlineData("Letter", "612 792")]
    public void A_pdf_has_pages_of_the_papers_size(string paper, string wanted)
    {
        var sheet = Long(PaperOf(paper));
        var text = Encoding.Latin1.GetString(sheet.ToPdf(ReportFonts.Find()));
        var boxes = Regex.Matches(text, @"/MediaBox \[0 0 ([^\]]*)\]").Select(m => m.Groups[1].Value).ToArray();
        Assert.Equal(sheet.ToSvg().Count, boxes.Length);
        // The library rounds to its raster of 720 dots to the inch: half of a tenth of a point.
        var sizes = wanted.Split(' ').Select(double.Parse).ToArray();
        foreach (var box in boxes)
        foreach (var (size, got) in sizes.Zip(box.Split(' ').Select(double.Parse)))
            Measured.Within(size, got, 0.051, "side of the paper in points");
    }

    [Fact]
    public void The_same_sheet_gives_the_same_bytes()
    {
        var fonts = ReportFonts.Find();
        Assert.Equal(Long(PaperSize.A4).ToPdf(fonts), Long(PaperSize.A4).ToPdf(fonts));
        Assert.Equal(Long(PaperSize.A4).ToSvg(), Long(PaperSize.A4).ToSvg());
        Assert.Equal(Long(PaperSize.A4).ToPng(fonts, scale: 1)[0], Long(PaperSize.A4).ToPng(fonts, scale: 1)[0]);
    }

    [Fact]
    public void Rows_of_the_wrong_length_are_refused() =>
        Assert.Throws<ArgumentException>(() => ReportTable.Create("t").Words("one").Row("a", "b"));

    private static Sheet Long(PaperSize paper)
    {
        var plot = new PlotModel("A plot", Axis.Clock("time"), Axis.Linear("late", "ms")).With(new LineSeries("line", [0, 10], [0, 1]));
        var words = string.Join(' ', Enumerable.Repeat("The tape runs on and on past the heads at 4.76\u2009cm/s.", 12));
        return Sheet
            .Create("A long sheet with a title that takes more than one line of a page, as long titles do", paper)
            .Lead(words)
            .Section("First", words)
            .Checklist("Clean the heads.", words, "Counter to 000.")
            .Caution(CautionKind.Bad, "Danger", words)
            .Caution(CautionKind.Note, "Note", "short")
            .Part("Part")
            .Facts(("speed", "4.76\u2009cm/s"), (words, words))
            .Figure(plot, words)
            .Audio("take", "fit/take.wav")
            .Section("Last")
            .Footer(words);
    }

    private static PaperSize PaperOf(string name) => name == "A4" ? PaperSize.A4 : PaperSize.Letter;

    private static void StaysWithinMargins(Drawing page)
    {
        var margin = SheetLayout.MarginPixels;
        foreach (var text in Drawings.Texts(page))
        {
            Measured.AtLeast(margin - Slack, text.Extent.Left, $"left edge of \"{Drawings.TextOf(text)}\"");
            Measured.AtMost(page.Width - margin + Slack, text.Extent.Right, $"right edge of \"{Drawings.TextOf(text)}\"");
            Measured.AtMost(page.Height - margin + Slack, text.Extent.Bottom, $"lower edge of \"{Drawings.TextOf(text)}\"");
        }
        foreach (var line in Drawings.Flat(page.Marks).OfType<LineMark>().SelectMany(l => l.Points))
            Measured.AtMost(page.Width - margin + Slack, line.X, "right end of a rule");
    }

    private static Dictionary<char, int> LettersOf(IEnumerable<string> texts) =>
        string.Concat(texts).Where(c => c is not (' ' or '\t')).GroupBy(c => c).ToDictionary(g => g.Key, g => g.Count());
}

file static class PieceComparers
{
    public static IEqualityComparer<Piece> ForPieces(this ReferenceEqualityComparer comparer) =>
        EqualityComparer<Piece>.Create((a, b) => comparer.Equals(a, b), p => comparer.GetHashCode(p));
}
