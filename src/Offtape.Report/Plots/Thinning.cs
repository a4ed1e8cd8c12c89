namespace Offtape.Report;

/// <summary>
/// Thins a long line to what can be seen: of the points that fall into one pixel column, the first, the lowest, the highest and the last,
/// in their order. A peak of one sample in a million is still drawn.
/// </summary>
internal static class Thinning
{
    public static Point[] ByColumn(Point[] points)
    {
        if (points.Length <= 4)
            return points;
        var kept = new List<Point>();
        var start = 0;
        while (start < points.Length)
        {
            var column = Math.Floor(points[start].X);
            var (end, least, greatest) = (start + 1, start, start);
            for (; end < points.Length && Math.Floor(points[end].X) == column; end++)
            {
                if (points[end].Y < points[least].Y)
                    least = end;
                if (points[end].Y > points[greatest].Y)
                    greatest = end;
            }
            foreach (var index in new SortedSet<int> { start, least, greatest, end - 1 })
                kept.Add(points[index]);
            start = end;
        }
        return [.. kept];
    }
}
