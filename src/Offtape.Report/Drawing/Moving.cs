namespace Offtape.Report;

/// <summary>Moves finished marks to where they belong on a page.</summary>
internal static class Moving
{
    public static Mark By(this Mark mark, double x, double y) =>
        mark switch
        {
            GroupMark group => group with { Children = [.. group.Children.Select(c => c.By(x, y))], Clip = group.Clip?.By(x, y) },
            LineMark line => line with { Points = [.. line.Points.Select(p => p.By(x, y))] },
            AreaMark area => area with { Corners = [.. area.Corners.Select(p => p.By(x, y))] },
            BoxMark box => box with { Box = box.Box.By(x, y) },
            DotMark dot => dot with { Centre = dot.Centre.By(x, y) },
            TextMark text => text with { At = text.At.By(x, y) },
            _ => throw new NotSupportedException($"{mark.GetType().Name} cannot be moved."),
        };

    private static Point By(this Point point, double x, double y) => new(point.X + x, point.Y + y);

    private static Box By(this Box box, double x, double y) => box with { Left = box.Left + x, Top = box.Top + y };
}
