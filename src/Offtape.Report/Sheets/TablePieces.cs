namespace Offtape.Report;

/// <summary>
/// Lays a table out in the width there is: each column as wide as its widest cell where that fits; else the columns of words share what the
/// numbers leave; else, where even that is too narrow, each row becomes a block of names and values.
/// </summary>
internal static class TablePieces
{
    private const double Gap = 20;
    private const double Padding = 5;
    private const double NarrowestWords = 72;

    /// <summary>A row higher than this may be cut by a page break.</summary>
    private const double HighestWholeRow = 240;

    public static IEnumerable<Piece> Of(ReportTable table, double width)
    {
        var widths = ColumnWidths(table, width);
        var pieces = widths is null ? Blocks(table, width) : Rows(table, widths, width);
        if (table.Caption.Length == 0)
            return pieces;
        var caption = BlockPieces
            .Paragraph(table.Caption, width, TypeSize.Note, BlockPieces.NoteLineHeight, 16)
            .Select(p => p with { StaysWithNext = true, Marks = [.. p.Marks.Select(InSoft)] });
        return caption.Concat(pieces.Select((p, i) => i == 0 ? p with { SpaceBefore = 0 } : p));
    }

    private static Mark InSoft(Mark mark) =>
        mark is TextMark text ? text with { Runs = [.. text.Runs.Select(r => r with { Ink = InkRole.Soft })] } : mark;

    /// <summary>The width of each column; null where the table does not fit as columns.</summary>
    private static double[]? ColumnWidths(ReportTable table, double width)
    {
        var natural = table.Columns.Select((column, i) => Math.Ceiling(NaturalWidth(table, column, i))).ToArray();
        var room = width - Gap * Math.Max(0, natural.Length - 1);
        if (natural.Sum() <= room)
        {
            // What is left over goes to the first column, so that the numbers stand together at the right.
            if (natural.Length > 1)
                natural[0] += room - natural.Sum();
            return natural;
        }
        var words = Enumerable.Range(0, natural.Length).Where(i => !table.Columns[i].IsFigures).ToArray();
        room -= Enumerable.Range(0, natural.Length).Except(words).Sum(i => natural[i]);
        if (words.Length == 0 || room < words.Length * NarrowestWords)
            return null;
        // Narrow columns keep their width; the wide ones share the rest evenly.
        var open = words.OrderBy(i => natural[i]).ToList();
        while (open.Count > 0)
        {
            var share = Math.Floor(room / open.Count);
            natural[open[0]] = Math.Min(natural[open[0]], share);
            room -= natural[open[0]];
            open.RemoveAt(0);
        }
        return natural;
    }

    private static double NaturalWidth(ReportTable table, TableColumn column, int index) =>
        table
            .Rows.Select(row => TextMetrics.Width(Runs(row[index]), TypeSize.Note))
            .Append(TextMetrics.Width(TextRuns.Of(column.Name), TypeSize.Note))
            .Max();

    private static IEnumerable<Piece> Rows(ReportTable table, double[] widths, double width)
    {
        var head = Row(table, [.. table.Columns.Select(c => new TableCell(c.Name, InkRole.Soft))], widths, width).ToArray();
        var whole = Stacked(head);
        yield return whole with
        {
            SpaceBefore = 16,
            StaysWithNext = true,
        };
        foreach (var row in table.Rows)
        {
            var lines = Row(table, row, widths, width).ToArray();
            if (lines.Sum(l => l.Height) <= HighestWholeRow)
                yield return Stacked(lines) with
                {
                    Repeated = whole,
                };
            else
                foreach (var line in lines)
                    yield return line with
                    {
                        Repeated = whole,
                    };
        }
    }

    /// <summary>A row line by line, with the rule under its last.</summary>
    private static IEnumerable<Piece> Row(ReportTable table, IReadOnlyList<TableCell> row, double[] widths, double width)
    {
        var cells = row.Select((cell, i) => TextWrapper.Wrap(Runs(cell), widths[i], TypeSize.Note)).ToArray();
        var count = cells.Select(c => c.Count).DefaultIfEmpty(1).Max();
        for (var line = 0; line < count; line++)
        {
            var (isFirst, isLast) = (line == 0, line == count - 1);
            var top = isFirst ? Padding : 0;
            var marks = new List<Mark>();
            var left = 0.0;
            for (var i = 0; i < cells.Length; i++)
            {
                if (line < cells[i].Count && cells[i][line].Count > 0)
                {
                    var isFigures = table.Columns[i].IsFigures;
                    var at = new Point(
                        isFigures ? left + widths[i] : left,
                        top + BlockPieces.Baseline(BlockPieces.NoteLineHeight, TypeSize.Note)
                    );
                    marks.Add(new TextMark(at, cells[i][line], TypeSize.Note, isFigures ? TextAnchor.End : TextAnchor.Start));
                }
                left += widths[i] + Gap;
            }
            var height = top + BlockPieces.NoteLineHeight + (isLast ? Padding : 0);
            if (isLast)
                marks.Add(BlockPieces.Rule(0, width, height - 1));
            yield return new Piece(height, marks);
        }
    }

    private static IEnumerable<Piece> Blocks(ReportTable table, double width)
    {
        var isFirst = true;
        foreach (var row in table.Rows)
        {
            var pairs = row.Select((cell, i) => (Name: table.Columns[i].Name, cell)).ToArray();
            var names = Math.Min(
                width * 0.4,
                pairs.Select(p => Math.Ceiling(TextMetrics.Width(TextRuns.Of(p.Name), TypeSize.Note))).DefaultIfEmpty(0).Max()
            );
            var lines = new List<Piece>();
            var pairTable = ReportTable.Create("").Words("").Words("");
            foreach (var (name, cell) in pairs)
                lines.AddRange(
                    Row(pairTable, [new TableCell(name, InkRole.Soft), cell], [names, width - names - Gap], width)
                        .Select(p => p with { Marks = [.. p.Marks.Where(m => m is TextMark)] })
                );
            lines[^1] = lines[^1] with { Marks = [.. lines[^1].Marks, BlockPieces.Rule(0, width, lines[^1].Height - 1)] };
            for (var i = 0; i < lines.Count; i++)
                yield return lines[i] with
                {
                    StaysWithNext = i + 1 < lines.Count,
                    SpaceBefore = isFirst && i == 0 ? 16 : 0,
                };
            isFirst = false;
        }
    }

    private static Piece Stacked(IReadOnlyList<Piece> lines)
    {
        var marks = new List<Mark>();
        var height = 0.0;
        foreach (var line in lines)
        {
            marks.AddRange(line.Marks.Select(m => m.By(0, height)));
            height += line.Height;
        }
        return new Piece(height, marks);
    }

    private static IReadOnlyList<TextRun> Runs(TableCell cell) => TextRuns.Of(cell.Text, cell.Ink);
}
