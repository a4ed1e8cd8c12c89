namespace Offtape.Report;

/// <summary>
/// Draws a diagram of joins: a ruled box on either side with the names of the sockets in it, and lines from socket to socket with what lies
/// on them written above. Where several sockets hang together their lines meet in an upright one.
/// </summary>
internal static class DiagramLayout
{
    private const double HeadHeight = 28;
    private const double Padding = 10;
    private const double GapBetweenThings = 20;
    private const double TextLine = 16;
    private const double LeastRow = 34;
    private const double ArrowLength = 8;
    private const double ArrowHalf = 3.5;

    /// <summary>Room on a line above which its label stands.</summary>
    private const double Raise = 5;

    /// <summary>Room under the line of a row.</summary>
    private const double RowFoot = 10;

    // Of the width, where there is room; no box is wider than its names need.
    private const double BoxShare = 0.27;

    public static Drawing Draw(JoinDiagram diagram, double width)
    {
        var left = BoxWidth(diagram.Bundles.SelectMany(b => b.Left.Select(l => l.Socket)).Append(diagram.LeftThing), width);
        var right = BoxWidth(diagram.Bundles.SelectMany(b => b.Right.Select(l => l.Socket).Append(b.RightThing)), width);
        var columns = new Columns(left, width - right, width);
        var marks = new List<Mark>();
        var y = HeadHeight;
        var boxTop = 0.0;
        for (var b = 0; b < diagram.Bundles.Count; b++)
        {
            var bundle = diagram.Bundles[b];
            var isFirstOfThing = b == 0 || diagram.Bundles[b - 1].RightThing != bundle.RightThing;
            if (isFirstOfThing && b > 0)
                y += GapBetweenThings + HeadHeight;
            if (isFirstOfThing)
                boxTop = y - HeadHeight;
            y = Bundle(bundle, columns, y, marks);
            var isLastOfThing = b + 1 == diagram.Bundles.Count || diagram.Bundles[b + 1].RightThing != bundle.RightThing;
            if (!isLastOfThing)
                continue;
            y += Padding;
            Thing(bundle.RightThing, columns.Right, width - columns.Right, boxTop, y, marks);
        }
        Thing(diagram.LeftThing, 0, columns.Left, 0, y, marks);
        return new Drawing(width, Math.Ceiling(y) + 1, diagram.Title, diagram.Description, marks);
    }

    private static double BoxWidth(IEnumerable<string> names, double width)
    {
        var natural = names.Select(n => TextMetrics.Width(TextRuns.Of(n), TypeSize.Note)).DefaultIfEmpty(0).Max() + 2 * Padding;
        return Math.Ceiling(Math.Min(natural, width * BoxShare));
    }

    private static void Thing(string name, double left, double width, double top, double bottom, List<Mark> marks)
    {
        marks.Add(new BoxMark(new Box(left, top, width, bottom - top), null, InkRole.Ink, 2));
        marks.Add(
            new TextMark(
                new Point(left + Padding, top + BlockPieces.Baseline(HeadHeight, TypeSize.Note)),
                TextWrapper.Shorten(TextRuns.Of(name), width - 2 * Padding, TypeSize.Note),
                TypeSize.Note
            )
        );
        marks.Add(BlockPieces.Rule(left + 1, left + width - 1, top + HeadHeight));
    }

    /// <returns>Where the next bundle begins.</returns>
    private static double Bundle(DiagramBundle bundle, Columns columns, double top, List<Mark> marks)
    {
        var isStraight = bundle.Left.Count == 1 && bundle.Right.Count == 1;
        var (trunkLeft, trunkRight) = isStraight ? (columns.Left, columns.Right) : (columns.ForkLeft(bundle), columns.ForkRight(bundle));
        var room = trunkRight - trunkLeft - 2 * (ArrowLength + Raise);
        var label = TextWrapper.Wrap(TextRuns.Of(bundle.Label, InkRole.Ink), room, TypeSize.Note);
        var legRow = Math.Max(LeastRow, LegLines(bundle, columns) * TextLine + 2 * Raise + 4);
        var rows = Math.Max(bundle.Left.Count, bundle.Right.Count);
        var height = Math.Max(rows * legRow, label.Count * TextLine + 2 * Raise + 12);
        // Words stand above their line, so lines run low in their rows; the trunk runs midway between the outermost of them.
        var low = height / rows - RowFoot;
        var trunk = AxisMarks.Snap(isStraight ? top + height - RowFoot : top + low + height * (rows - 1) / rows / 2);
        var lefts = Rows(bundle.Left.Count, rows, top + low, height, trunk);
        var rights = Rows(bundle.Right.Count, rows, top + low, height, trunk);
        marks.Add(new LineMark([new Point(trunkLeft, trunk), new Point(trunkRight, trunk)], bundle.Ink, 1.5));
        if (!isStraight)
        {
            Upright(trunkLeft, lefts, trunk, bundle.Ink, marks);
            Upright(trunkRight, rights, trunk, bundle.Ink, marks);
        }
        for (var i = 0; i < bundle.Left.Count; i++)
            Leg(bundle.Left[i], lefts[i], columns.Left, isStraight ? null : trunkLeft, isLeft: true, bundle.Ink, columns, marks);
        for (var i = 0; i < bundle.Right.Count; i++)
            Leg(bundle.Right[i], rights[i], columns.Right, isStraight ? null : trunkRight, isLeft: false, bundle.Ink, columns, marks);
        for (var i = 0; i < label.Count; i++)
            marks.Add(
                new TextMark(
                    new Point((trunkLeft + trunkRight) / 2, trunk - Raise - 2 - (label.Count - 1 - i) * TextLine),
                    label[i],
                    TypeSize.Note,
                    TextAnchor.Middle
                )
            );
        return top + height;
    }

    private static int LegLines(DiagramBundle bundle, Columns columns) =>
        bundle
            .Left.Select(l => (l.Label, Room: columns.ForkLeft(bundle) - columns.Left))
            .Concat(bundle.Right.Select(l => (l.Label, Room: columns.Right - columns.ForkRight(bundle))))
            .Select(l =>
                l.Label.Length == 0 ? 0 : TextWrapper.Wrap(TextRuns.Of(l.Label), l.Room - 2 * (ArrowLength + Raise), TypeSize.Note).Count
            )
            .Max();

    private static double[] Rows(int count, int rows, double first, double height, double trunk) =>
        count == 1
            ? [trunk]
            : [.. Enumerable.Range(0, count).Select(i => AxisMarks.Snap(first + height * i / rows * (rows - 1) / (count - 1)))];

    private static void Upright(double x, double[] rows, double trunk, InkRole ink, List<Mark> marks)
    {
        var (from, to) = (Math.Min(rows.Min(), trunk), Math.Max(rows.Max(), trunk));
        if (to > from)
            marks.Add(new LineMark([new Point(x, from), new Point(x, to)], ink, 1.5));
    }

    private static void Leg(
        DiagramLeg leg,
        double y,
        double edge,
        double? fork,
        bool isLeft,
        InkRole ink,
        Columns columns,
        List<Mark> marks
    )
    {
        if (fork is { } x)
        {
            marks.Add(new LineMark([new Point(edge, y), new Point(x, y)], ink, 1.5));
            if (leg.Label.Length > 0)
            {
                var lines = TextWrapper.Wrap(TextRuns.Of(leg.Label), Math.Abs(x - edge) - 2 * (ArrowLength + Raise), TypeSize.Note);
                for (var i = 0; i < lines.Count; i++)
                    marks.Add(
                        new TextMark(
                            new Point((x + edge) / 2, y - Raise - (lines.Count - 1 - i) * TextLine),
                            lines[i],
                            TypeSize.Note,
                            TextAnchor.Middle
                        )
                    );
            }
        }
        if (leg.TakesSound)
        {
            var back = isLeft ? ArrowLength : -ArrowLength;
            marks.Add(
                new AreaMark([new Point(edge, y), new Point(edge + back, y - ArrowHalf), new Point(edge + back, y + ArrowHalf)], ink)
            );
        }
        else
            marks.Add(new DotMark(new Point(edge, y), 2.5, ink));
        var name = TextWrapper.Shorten(
            TextRuns.Of(leg.Socket),
            (isLeft ? columns.Left : columns.Width - columns.Right) - 2 * Padding,
            TypeSize.Note
        );
        marks.Add(
            isLeft
                ? new TextMark(new Point(edge - Padding, y + 4.5), name, TypeSize.Note, TextAnchor.End)
                : new TextMark(new Point(edge + Padding, y + 4.5), name, TypeSize.Note)
        );
    }

    /// <summary>Where the boxes end and the lines fork.</summary>
    private sealed record Columns(double Left, double Right, double Width)
    {
        // A fork with words on its legs needs room for them; one without stands near its box.
        private const double WithWords = 0.31;
        private const double Bare = 0.12;

        public double ForkLeft(DiagramBundle bundle) => Left + (Right - Left) * Share(bundle.Left);

        public double ForkRight(DiagramBundle bundle) => Right - (Right - Left) * Share(bundle.Right);

        private static double Share(IReadOnlyList<DiagramLeg> legs) => legs.Any(l => l.Label.Length > 0) ? WithWords : Bare;
    }
}
