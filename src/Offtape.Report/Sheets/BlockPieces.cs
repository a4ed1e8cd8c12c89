namespace Offtape.Report;

/// <summary>Cuts each kind of block into the pieces that it is laid out by.</summary>
internal static class BlockPieces
{
    public const double LineHeight = 22;
    public const double NoteLineHeight = 18;

    private const double SignColumn = 28;

    public static IEnumerable<Piece> Of(Block block, double width, double pageHeight, bool isSmall = false) =>
        block switch
        {
            HeadingBlock heading => Heading(heading, width),
            TextBlock { IsLead: true } text => Paragraph(text.Text, width, TypeSize.Heading, 28, 8),
            TextBlock text => Paragraph(text.Text, width, Body(isSmall).Size, Body(isSmall).LineHeight, 8),
            CommandsBlock commands => commands.Lines.SelectMany((line, i) => Command(line, width, i == 0)),
            TableBlock { Table: var table } => TablePieces.Of(table, width),
            FigureBlock figure => [Figure(figure, width, pageHeight)],
            ColumnsBlock columns => ColumnPieces.Of(columns, width, pageHeight),
            DiagramBlock { Diagram: var diagram } => [Diagram(diagram, width)],
            ChecklistBlock checklist => checklist.Steps.SelectMany((step, i) => Step(step, width, i == 0, isSmall)),
            FactsBlock facts => Facts(facts, width, isSmall),
            CautionBlock caution => Caution(caution, width, isSmall),
            AudioBlock audio => Paragraph($"{audio.Label}: {audio.RelativePath}", width, TypeSize.Text, LineHeight, 4),
            _ => throw new NotSupportedException($"{block.GetType().Name} has no form on paper."),
        };

    /// <summary>One piece a line; the first two and the last two lines stay together.</summary>
    public static IEnumerable<Piece> Paragraph(string text, double width, double size, double lineHeight, double spaceBefore)
    {
        var lines = TextWrapper.Wrap(TextRuns.Of(text), width, size);
        return Lines(lines, 0, size, lineHeight, spaceBefore);
    }

    private static IEnumerable<Piece> Command(string line, double width, bool isFirst)
    {
        var runs = new[] { new TextRun(line, Face.Figures, InkRole.Ink) };
        return Lines(TextWrapper.Wrap(runs, width, TypeSize.Note), 0, TypeSize.Note, NoteLineHeight, isFirst ? 12 : 4);
    }

    private static IEnumerable<Piece> Lines(
        IReadOnlyList<IReadOnlyList<TextRun>> lines,
        double left,
        double size,
        double lineHeight,
        double spaceBefore
    )
    {
        for (var i = 0; i < lines.Count; i++)
        {
            var mark = new TextMark(new Point(left, Baseline(lineHeight, size)), lines[i], size);
            yield return new Piece(lineHeight, [mark])
            {
                SpaceBefore = i == 0 ? spaceBefore : 0,
                StaysWithNext = i + 1 < lines.Count && (i == 0 || i == lines.Count - 2),
            };
        }
    }

    /// <summary>Where letters stand in a line so that their capitals lie in its middle (capitals are 0.73 of the size in most sans-serifs).</summary>
    public static double Baseline(double lineHeight, double size) => Math.Round((lineHeight + 0.73 * size) / 2);

    private static (double Size, double LineHeight) Body(bool isSmall) =>
        isSmall ? (TypeSize.Note, NoteLineHeight) : (TypeSize.Text, LineHeight);

    private static IEnumerable<Piece> Heading(HeadingBlock heading, double width)
    {
        var (size, lineHeight, space) = heading.Level switch
        {
            1 => (TypeSize.Title, 32.0, 32.0),
            2 => (TypeSize.Heading, 28.0, 24.0),
            _ => (TypeSize.Text, LineHeight, 16.0),
        };
        if (heading.Level == 2)
            yield return new Piece(9, [Rule(0, width, 0)]) { SpaceBefore = space, StaysWithNext = true };
        foreach (var piece in Paragraph(heading.Text, width, size, lineHeight, heading.Level == 2 ? 0 : space))
            yield return piece with
            {
                StaysWithNext = true,
            };
    }

    private static Piece Figure(FigureBlock figure, double width, double pageHeight)
    {
        var caption = figure.Caption.Length == 0 ? [] : TextWrapper.Wrap(TextRuns.Of(figure.Caption, InkRole.Soft), width, TypeSize.Note);
        var captionHeight = caption.Count == 0 ? 0 : 6 + caption.Count * NoteLineHeight;
        var wanted = Math.Min(figure.Plot.HeightPixels, Math.Max(120, pageHeight - captionHeight));
        var drawing = PlotLayout.Draw(figure.Plot with { HeightPixels = wanted }, width);
        var plotHeight = drawing.Height;
        var frame = new BoxMark(new Box(0, 0, width, plotHeight), null, InkRole.Rule, 2);
        var lines = caption.Select(
            (line, i) =>
                new TextMark(
                    new Point(0, plotHeight + 6 + i * NoteLineHeight + Baseline(NoteLineHeight, TypeSize.Note)),
                    line,
                    TypeSize.Note
                )
        );
        return new Piece(plotHeight + captionHeight, [.. drawing.Marks, frame, .. lines]) { SpaceBefore = 16 };
    }

    private static Piece Diagram(JoinDiagram diagram, double width)
    {
        var drawing = DiagramLayout.Draw(diagram, width);
        return new Piece(drawing.Height, drawing.Marks) { SpaceBefore = 16 };
    }

    private static IEnumerable<Piece> Step(string step, double width, bool isFirst, bool isSmall)
    {
        var (size, lineHeight) = Body(isSmall);
        var lines = TextWrapper.Wrap(TextRuns.Of(step), width - SignColumn, size);
        var box = new BoxMark(new Box(0, isSmall ? 2 : 4, 14, 14), null, InkRole.Ink);
        return WithSign(
            Lines(
                lines,
                SignColumn,
                size,
                lineHeight,
                isFirst ? 12
                    : isSmall ? 5
                    : 8
            ),
            [box]
        );
    }

    private static IEnumerable<Piece> Caution(CautionBlock caution, double width, bool isSmall)
    {
        var (size, lineHeight) = Body(isSmall);
        IReadOnlyList<TextRun> runs =
        [
            new TextRun(caution.Word + ":", Face.Words, Signs.InkOf(caution.Kind)),
            new TextRun(" ", Face.Words, InkRole.Ink),
            .. TextRuns.Of(caution.Text),
        ];
        var lines = TextWrapper.Wrap(runs, width - SignColumn, size);
        var pieces = WithSign(
            Lines(lines, SignColumn, size, lineHeight, isSmall ? 8 : 12),
            Signs.Marks(caution.Kind).Select(m => m.By(0, isSmall ? 1 : 3))
        );
        // A caution is read whole.
        return pieces.Select((p, i) => p with { StaysWithNext = i + 1 < lines.Count });
    }

    private static IEnumerable<Piece> WithSign(IEnumerable<Piece> lines, IEnumerable<Mark> sign) =>
        lines.Select((piece, i) => i == 0 ? piece with { Marks = [.. sign, .. piece.Marks] } : piece);

    private static IEnumerable<Piece> Facts(FactsBlock facts, double width, bool isSmall)
    {
        var (size, lineHeight) = Body(isSmall);
        var natural = facts.Facts.Select(f => TextMetrics.Width(TextRuns.Of(f.Name), size)).DefaultIfEmpty(0).Max();
        var column = Math.Min(Math.Ceiling(natural), Math.Floor(width * 0.4));
        for (var i = 0; i < facts.Facts.Count; i++)
        {
            var names = TextWrapper.Wrap(TextRuns.Of(facts.Facts[i].Name, InkRole.Soft), column, size);
            var values = TextWrapper.Wrap(TextRuns.Of(facts.Facts[i].Value), width - column - 24, size);
            var count = Math.Max(names.Count, values.Count);
            for (var line = 0; line < count; line++)
            {
                var marks = new List<Mark>();
                if (line < names.Count)
                    marks.Add(new TextMark(new Point(0, Baseline(lineHeight, size)), names[line], size));
                if (line < values.Count)
                    marks.Add(new TextMark(new Point(column + 24, Baseline(lineHeight, size)), values[line], size));
                yield return new Piece(lineHeight, marks)
                {
                    SpaceBefore =
                        line > 0 ? 0
                        : i == 0 ? 12
                        : 2,
                    StaysWithNext = line + 1 < count,
                };
            }
        }
    }

    public static LineMark Rule(double left, double right, double y) =>
        new([new Point(left, AxisMarks.Snap(y)), new Point(right, AxisMarks.Snap(y))], InkRole.Rule);
}
