namespace Offtape.Report;

/// <summary>What a column of a table holds.</summary>
/// <param name="Name">Its heading.</param>
/// <param name="IsFigures">Numbers: monospaced, aligned to the right.</param>
public sealed record TableColumn(string Name, bool IsFigures = false);

/// <summary>One cell: plain text, in ink unless it needs looking at.</summary>
public readonly record struct TableCell(string Text, InkRole Ink = InkRole.Ink)
{
    public static implicit operator TableCell(string text) => new(text);

    public static TableCell FromString(string text) => new(text);
}

/// <summary>A ruled table; the first column names the row. Immutable: each call gives a new table.</summary>
public sealed record ReportTable(string Caption)
{
    public IReadOnlyList<TableColumn> Columns { get; init; } = [];

    public IReadOnlyList<IReadOnlyList<TableCell>> Rows { get; init; } = [];

    public static ReportTable Create(string caption) => new(caption);

    public ReportTable Words(string name) => this with { Columns = [.. Columns, new TableColumn(name)] };

    public ReportTable Figures(string name) => this with { Columns = [.. Columns, new TableColumn(name, IsFigures: true)] };

    public ReportTable Row(params TableCell[] cells)
    {
        if (cells.Length != Columns.Count)
            throw new ArgumentException($"The table \"{Caption}\" has {Columns.Count} columns, and this row {cells.Length} cells.");
        return this with { Rows = [.. Rows, cells] };
    }
}
