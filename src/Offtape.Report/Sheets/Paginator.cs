namespace Offtape.Report;

/// <summary>Lays pieces on pages of a given height, keeping together what belongs together as far as one page holds it.</summary>
internal static class Paginator
{
    /// <summary>For each page, its pieces and how far below its upper edge each stands.</summary>
    public static IReadOnlyList<IReadOnlyList<(Piece Piece, double Top)>> Lay(
        IReadOnlyList<Piece> pieces,
        double firstHeight,
        double height
    )
    {
        var pages = new List<IReadOnlyList<(Piece, double)>>();
        var page = new List<(Piece Piece, double Top)>();
        var (used, room) = (0.0, firstHeight);
        for (var start = 0; start < pieces.Count; )
        {
            var endExcl = start + 1;
            while (endExcl < pieces.Count && pieces[endExcl - 1].StaysWithNext)
                endExcl++;
            // Kept together unless no page could hold it all.
            if (
                page.Count > 0
                && used + Height(pieces, start, endExcl, isFirst: false) > room
                && Height(pieces, start, endExcl, isFirst: true) <= height
            )
                Turn();
            for (; start < endExcl; start++)
            {
                var piece = pieces[start];
                if (page.Count > 0 && used + piece.SpaceBefore + piece.Height > room)
                    Turn();
                var space = page.Count == 0 ? 0 : piece.SpaceBefore;
                if (page.Count == 0 && pages.Count > 0 && piece.Repeated is { } repeated)
                {
                    page.Add((repeated, 0));
                    used = repeated.Height;
                }
                page.Add((piece, used + space));
                used += space + piece.Height;
            }
        }
        if (page.Count > 0 || pages.Count == 0)
            pages.Add(page);
        return pages;

        void Turn()
        {
            pages.Add(page);
            page = [];
            (used, room) = (0, height);
        }
    }

    private static double Height(IReadOnlyList<Piece> pieces, int start, int endExcl, bool isFirst)
    {
        var height = isFirst ? pieces[start].Repeated?.Height ?? 0 : pieces[start].SpaceBefore;
        for (var i = start; i < endExcl; i++)
            height += pieces[i].Height + (i > start ? pieces[i].SpaceBefore : 0);
        return height;
    }
}
