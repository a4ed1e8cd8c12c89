namespace Offtape.Report;

/// <summary>Lays two columns side by side as one piece; where that is higher than a page, one after the other in the full width.</summary>
internal static class ColumnPieces
{
    private const double Gap = 32;

    public static IEnumerable<Piece> Of(ColumnsBlock columns, double width, double pageHeight)
    {
        var half = Math.Floor((width - Gap) / 2);
        var (left, right) = (Stacked(columns.Left, half, pageHeight), Stacked(columns.Right, half, pageHeight));
        var height = Math.Max(left.Height, right.Height);
        if (height > pageHeight)
            return columns.Left.Concat(columns.Right).SelectMany(b => BlockPieces.Of(b, width, pageHeight));
        return [new Piece(height, [.. left.Marks, .. right.Marks.Select(m => m.By(half + Gap, 0))]) { SpaceBefore = 24 }];
    }

    private static Piece Stacked(IReadOnlyList<Block> blocks, double width, double pageHeight)
    {
        var marks = new List<Mark>();
        var height = 0.0;
        foreach (var piece in blocks.SelectMany(b => BlockPieces.Of(b, width, pageHeight, isSmall: true)))
        {
            height += height > 0 ? piece.SpaceBefore : 0;
            marks.AddRange(piece.Marks.Select(m => m.By(0, height)));
            height += piece.Height;
        }
        return new Piece(height, marks);
    }
}
