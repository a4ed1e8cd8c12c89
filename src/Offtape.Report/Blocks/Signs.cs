namespace Offtape.Report;

/// <summary>The few signs there are, drawn rather than taken from a font, so that every machine shows the same: 16 × 16 pixels.</summary>
internal static class Signs
{
    public static InkRole InkOf(CautionKind kind) =>
        kind switch
        {
            CautionKind.Note => InkRole.Accent,
            CautionKind.Warn => InkRole.Warn,
            _ => InkRole.Bad,
        };

    /// <summary>A ring for a note, a triangle for a warning, an octagon for a danger.</summary>
    public static IReadOnlyList<Mark> Marks(CautionKind kind)
    {
        var ink = InkOf(kind);
        return kind switch
        {
            CautionKind.Note => [new DotMark(new Point(8, 8), 6.5, null, ink), Stroke(ink, 4.5, 6), Stroke(ink, 7, 11.5)],
            CautionKind.Warn => [Outline(ink, (8, 1.5), (15.2, 14.5), (0.8, 14.5)), Stroke(ink, 6, 10), Stroke(ink, 11.5, 13)],
            _ =>
            [
                Outline(ink, (5.2, 1.2), (10.8, 1.2), (14.8, 5.2), (14.8, 10.8), (10.8, 14.8), (5.2, 14.8), (1.2, 10.8), (1.2, 5.2)),
                Stroke(ink, 4.5, 8.8),
                Stroke(ink, 10.3, 11.8),
            ],
        };
    }

    /// <summary>A box to tick.</summary>
    public static IReadOnlyList<Mark> Box => [new BoxMark(new Box(1, 1, 14, 14), null, InkRole.Ink)];

    private static LineMark Outline(InkRole ink, params (double X, double Y)[] corners) =>
        new([.. corners.Append(corners[0]).Select(c => new Point(c.X, c.Y))], ink);

    private static LineMark Stroke(InkRole ink, double top, double bottom) => new([new Point(8, top), new Point(8, bottom)], ink, 1.5);
}
