namespace Offtape.Report;

/// <summary>Lays a sheet out on its pages: title and lead on the first, blocks in their order, a foot with the page number on each.</summary>
internal static class SheetLayout
{
    /// <summary>15 mm: what every printer reaches.</summary>
    public const double MarginPixels = 15 / 25.4 * 96;

    private const double FootHeight = 32;

    public static IReadOnlyList<Drawing> Draw(Sheet sheet)
    {
        var paper = sheet.Paper;
        var width = paper.WidthPixels - 2 * MarginPixels;
        var height = paper.HeightPixels - 2 * MarginPixels - FootHeight;
        var pieces = new List<Piece>();
        pieces.AddRange(BlockPieces.Paragraph(sheet.Title, width, TypeSize.Title, 32, 0));
        if (sheet.LeadText.Length > 0)
            pieces.AddRange(BlockPieces.Paragraph(sheet.LeadText, width, TypeSize.Heading, 28, 4));
        var afterTable = false;
        foreach (var block in sheet.Blocks)
        {
            // A table ends in a rule of its own: the section after it needs no second one.
            var isRuled = !(afterTable && block is HeadingBlock { Level: 2 });
            pieces.AddRange(
                BlockPieces
                    .Of(block, width, height)
                    .Skip(isRuled ? 0 : 1)
                    .Select((p, i) => isRuled || i > 0 ? p : p with { SpaceBefore = 28 })
            );
            afterTable = block is TableBlock;
        }

        var pages = Paginator.Lay(pieces, height, height);
        return
        [
            .. pages.Select(
                (page, i) =>
                {
                    var marks = new List<Mark> { new BoxMark(new Box(0, 0, paper.WidthPixels, paper.HeightPixels), InkRole.Sheet) };
                    foreach (var (piece, top) in page)
                        marks.AddRange(piece.Marks.Select(m => m.By(MarginPixels, MarginPixels + top)));
                    marks.AddRange(Foot(sheet, i + 1, pages.Count, width));
                    return new Drawing(paper.WidthPixels, paper.HeightPixels, sheet.Title, PageName(i + 1, pages.Count), marks);
                }
            ),
        ];
    }

    private static string PageName(int number, int count) => $"Page {number} of {count}";

    private static IEnumerable<Mark> Foot(Sheet sheet, int number, int count, double width)
    {
        var top = AxisMarks.Snap(sheet.Paper.HeightPixels - MarginPixels - FootHeight + 8);
        var right = MarginPixels + width;
        yield return new LineMark([new Point(MarginPixels, top), new Point(right, top)], InkRole.Rule);
        var page = TextRuns.Of($"{number} of {count}", InkRole.Soft);
        yield return new TextMark(new Point(right, top + 20), page, TypeSize.Note, TextAnchor.End);
        var text = sheet.FooterText.Length > 0 ? $"{sheet.Title} · {sheet.FooterText}" : sheet.Title;
        var room = width - TextMetrics.Width(page, TypeSize.Note) - 24;
        var words = TextWrapper.Shorten(TextRuns.Of(text, InkRole.Soft), room, TypeSize.Note);
        yield return new TextMark(new Point(MarginPixels, top + 20), words, TypeSize.Note);
    }
}
