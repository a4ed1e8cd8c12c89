namespace Offtape.Report;

/// <summary>
/// What stays together on a page: a line of a paragraph, a row of a table, a plot. Its marks are placed from its own upper left corner.
/// </summary>
internal sealed record Piece(double Height, IReadOnlyList<Mark> Marks)
{
    /// <summary>Clear room before it, which a page break swallows.</summary>
    public double SpaceBefore { get; init; }

    /// <summary>Stands on the same page as the piece after it.</summary>
    public bool StaysWithNext { get; init; }

    /// <summary>Drawn again at the head of a page that this piece begins: the heading row of its table.</summary>
    public Piece? Repeated { get; init; }
}
