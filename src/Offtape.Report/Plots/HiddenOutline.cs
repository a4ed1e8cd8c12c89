namespace Offtape.Report;

/// <summary>
/// Of two envelopes over each other, the edge of the lower one where the upper one covers it: so both are seen, whichever is the larger. The
/// edge is drawn smooth, as the outermost of its neighbours, or a fast waveform would fill what lies beneath with strokes.
/// </summary>
internal static class HiddenOutline
{
    private const int NeighbourColumns = 2;

    /// <summary>An edge nearer than this to the covering edge cannot be told from it.</summary>
    private const double ApartPixels = 1;

    /// <param name="covered">The envelope beneath: its upper edge from left to right, then its lower edge from right to left.</param>
    /// <param name="cover">The envelope on top, in the same form.</param>
    public static IReadOnlyList<Mark> Of(AreaMark covered, AreaMark cover)
    {
        var (upper, lower) = Edges(covered);
        var (coverUpper, coverLower) = Edges(cover);
        return
        [
            .. Hidden(upper, coverUpper, coverLower, Math.Min)
                .Concat(Hidden(lower, coverUpper, coverLower, Math.Max))
                .Select(run => new LineMark(run, covered.Fill)),
        ];
    }

    private static (Point[] Upper, Point[] Lower) Edges(AreaMark area)
    {
        var half = area.Corners.Count / 2;
        return ([.. area.Corners.Take(half)], [.. area.Corners.Skip(half).Reverse()]);
    }

    private static IEnumerable<Point[]> Hidden(Point[] edge, Point[] coverUpper, Point[] coverLower, Func<double, double, double> outermost)
    {
        var run = new List<Point>();
        for (var i = 0; i < edge.Length; i++)
        {
            var (top, bottom) = (HeightAt(coverUpper, edge[i].X), HeightAt(coverLower, edge[i].X));
            var y = edge[i].Y;
            for (var j = Math.Max(0, i - NeighbourColumns); j <= Math.Min(edge.Length - 1, i + NeighbourColumns); j++)
                y = outermost(y, edge[j].Y);
            if (y > top + ApartPixels && y < bottom - ApartPixels)
            {
                run.Add(new Point(edge[i].X, y));
                continue;
            }
            if (run.Count > 1)
                yield return [.. run];
            run.Clear();
        }
        if (run.Count > 1)
            yield return [.. run];
    }

    /// <summary>The height of an edge at a place, between its corners in proportion; NaN, which hides nothing, where it does not reach.</summary>
    private static double HeightAt(Point[] edge, double x)
    {
        var (low, high) = (0, edge.Length - 1);
        if (high < 0 || !(x >= edge[0].X && x <= edge[high].X))
            return double.NaN;
        while (high - low > 1)
        {
            var middle = (low + high) / 2;
            if (edge[middle].X <= x)
                low = middle;
            else
                high = middle;
        }
        var width = edge[high].X - edge[low].X;
        return width > 0 ? edge[low].Y + (x - edge[low].X) / width * (edge[high].Y - edge[low].Y) : edge[low].Y;
    }
}
