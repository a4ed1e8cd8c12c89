using Offtape.Base;

namespace Offtape.Report;

/// <summary>Lays a card out in millimetres on A4, with a ruler of 50 mm by which a print that was scaled is noticed.</summary>
internal static class BoxCardLayout
{
    private const double PixelsPerMm = 96 / 25.4;

    // Usual sizes of a cassette box's card and of the lid of a 7 in reel box: common practice, from memory; half a millimetre matters to neither.
    private const double CassetteWidthMm = 101.5;
    private const double FlapMm = 23;
    private const double SpineMm = 12.5;
    private const double FrontMm = 65;
    private const double ReelBoxMm = 178;

    private const double LeftMm = 16;
    private const double TopMm = 22;
    private const double PaddingMm = 4;
    private const double RulerMm = 50;
    private const double NoteRoom = 20;

    internal static Drawing Draw(BoxCard card)
    {
        var paper = PaperSize.A4;
        var marks = new List<Mark> { new BoxMark(new Box(0, 0, paper.WidthPixels, paper.HeightPixels), InkRole.Sheet) };
        var hint =
            card.Shape == BoxShape.CassetteCard
                ? "Print at 100 %. Cut along the whole line, fold along the dashes."
                : "Print at 100 %. Cut along the line, and lay it on the lid.";
        marks.Add(new TextMark(new Point(Mm(LeftMm), Mm(TopMm) - 20), TextRuns.Of(hint, InkRole.Soft), TypeSize.Note));
        var bottomMm = card.Shape == BoxShape.CassetteCard ? Cassette(card, marks) : Reel(card, marks);
        Ruler(bottomMm + 8, marks);
        return new Drawing(paper.WidthPixels, paper.HeightPixels, card.Name, $"Box card of {card.Name}", marks);
    }

    private static double Cassette(BoxCard card, List<Mark> marks)
    {
        double[] heights = [FlapMm, SpineMm, FrontMm, FrontMm];
        var bottom = TopMm + heights.Sum();
        marks.Add(new BoxMark(InMm(LeftMm, TopMm, CassetteWidthMm, heights.Sum()), null, InkRole.Ink));
        var y = TopMm;
        foreach (var height in heights[..^1])
        {
            y += height;
            marks.Add(new LineMark([At(LeftMm, y), At(LeftMm + CassetteWidthMm, y)], InkRole.Rule, 1, 4));
        }
        Fill([.. FactBlocks(card)], Panel(TopMm, FlapMm), "", marks);
        Spine(card, TopMm + FlapMm, marks);
        var front = Panel(TopMm + FlapMm + SpineMm, FrontMm);
        Fill([new HeadingBlock(3, card.Name), .. Side(card, 0)], front, card.MoreText, marks);
        Fill(
            [.. card.Sides.Skip(1).Select(s => new TableBlock(s))],
            Panel(TopMm + FlapMm + SpineMm + FrontMm, FrontMm),
            card.MoreText,
            marks
        );
        return bottom;

        static Box Panel(double topMm, double heightMm) =>
            InMm(LeftMm + PaddingMm, topMm + PaddingMm / 2, CassetteWidthMm - 2 * PaddingMm, heightMm - PaddingMm);
    }

    private static double Reel(BoxCard card, List<Mark> marks)
    {
        marks.Add(new BoxMark(InMm(LeftMm, TopMm, ReelBoxMm, ReelBoxMm), null, InkRole.Ink));
        Fill(
            [new HeadingBlock(3, card.Name), .. FactBlocks(card), .. card.Sides.Select(s => new TableBlock(s))],
            InMm(LeftMm + PaddingMm, TopMm + PaddingMm, ReelBoxMm - 2 * PaddingMm, ReelBoxMm - 2 * PaddingMm),
            card.MoreText,
            marks
        );
        return TopMm + ReelBoxMm;
    }

    private static IEnumerable<Block> Side(BoxCard card, int index) => card.Sides.Skip(index).Take(1).Select(s => new TableBlock(s));

    private static IEnumerable<Block> FactBlocks(BoxCard card) => card.Facts.Count > 0 ? [new FactsBlock(card.Facts)] : [];

    private static void Spine(BoxCard card, double topMm, List<Mark> marks)
    {
        var box = InMm(LeftMm + PaddingMm, topMm, CassetteWidthMm - 2 * PaddingMm, SpineMm);
        var baseline = box.Top + box.Height / 2 + TypeSize.Text * 0.35;
        var words = TextRuns.Of(card.Spine, InkRole.Soft);
        var right = Math.Min(TextMetrics.Width(words, TypeSize.Note), box.Width / 2);
        marks.Add(
            new TextMark(
                new Point(box.Left, baseline),
                TextWrapper.Shorten(TextRuns.Of(card.Name), box.Width - right - 12, TypeSize.Text),
                TypeSize.Text
            )
        );
        marks.Add(
            new TextMark(
                new Point(box.Right, baseline),
                TextWrapper.Shorten(words, box.Width / 2, TypeSize.Note),
                TypeSize.Note,
                TextAnchor.End
            )
        );
    }

    // What has room, top down; a table that has not leaves a line that says so.
    private static void Fill(IReadOnlyList<Block> blocks, Box panel, string moreText, List<Mark> marks)
    {
        var pieces = blocks.SelectMany(b => BlockPieces.Of(b, panel.Width, panel.Height, isSmall: true)).ToArray();
        var whole = pieces.Sum(p => p.Height + p.SpaceBefore) - (pieces.Length > 0 ? pieces[0].SpaceBefore : 0);
        var room = whole <= panel.Height ? panel.Height : panel.Height - NoteRoom;
        var y = 0.0;
        var left = 0;
        for (var i = 0; i < pieces.Length; i++)
        {
            var before = i == 0 ? 0 : pieces[i].SpaceBefore;
            if (left > 0 || y + before + pieces[i].Height > room)
            {
                left++;
                continue;
            }
            marks.AddRange(pieces[i].Marks.Select(m => m.By(panel.Left, panel.Top + y + before)));
            y += before + pieces[i].Height;
        }
        if (left == 0)
            return;
        var words = moreText.Length > 0 ? $"{Words.Count(left, "more line")}: {moreText}" : Words.Count(left, "more line");
        marks.Add(
            new TextMark(
                new Point(panel.Left, panel.Bottom - 4),
                TextWrapper.Shorten(TextRuns.Of(words, InkRole.Soft), panel.Width, TypeSize.Note),
                TypeSize.Note
            )
        );
    }

    private static void Ruler(double topMm, List<Mark> marks)
    {
        marks.Add(new LineMark([At(LeftMm, topMm), At(LeftMm + RulerMm, topMm)], InkRole.Ink));
        foreach (var x in new[] { 0, RulerMm })
            marks.Add(new LineMark([At(LeftMm + x, topMm - 1.5), At(LeftMm + x, topMm + 1.5)], InkRole.Ink));
        marks.Add(
            new TextMark(
                new Point(Mm(LeftMm + RulerMm + 3), Mm(topMm) + 5),
                TextRuns.Of("50 mm, if the print was not scaled", InkRole.Soft),
                TypeSize.Note
            )
        );
    }

    private static double Mm(double millimetres) => millimetres * PixelsPerMm;

    private static Point At(double xMm, double yMm) => new(Mm(xMm), Mm(yMm));

    private static Box InMm(double leftMm, double topMm, double widthMm, double heightMm) =>
        new(Mm(leftMm), Mm(topMm), Mm(widthMm), Mm(heightMm));
}
