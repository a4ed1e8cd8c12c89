namespace Offtape.Report;

/// <summary>Places words so that none touches another.</summary>
internal static class LabelRows
{
    /// <summary>
    /// Gives each stretch (in order of preference left to right) the first row where it keeps <paramref name="gap"/> from what stands there;
    /// −1 where no row has room.
    /// </summary>
    public static int[] Rows(IReadOnlyList<(double From, double To)> stretches, int rowCount, double gap)
    {
        var taken = new List<(double From, double To)>[rowCount];
        for (var row = 0; row < rowCount; row++)
            taken[row] = [];
        var rows = new int[stretches.Count];
        for (var i = 0; i < rows.Length; i++)
        {
            var (from, to) = stretches[i];
            rows[i] = Array.FindIndex(taken, row => row.TrueForAll(t => from - t.To >= gap || t.From - to >= gap));
            if (rows[i] >= 0)
                taken[rows[i]].Add((from, to));
        }
        return rows;
    }

    /// <summary>
    /// Moves places apart to at least <paramref name="spacing"/>, in their order, as little as need be, within
    /// <paramref name="low"/> to <paramref name="high"/>; where that is too narrow for all, they are spread evenly over it.
    /// </summary>
    public static double[] Spread(IReadOnlyList<double> wanted, double spacing, double low, double high)
    {
        var order = Enumerable.Range(0, wanted.Count).OrderBy(i => wanted[i]).ToArray();
        var placed = new double[wanted.Count];
        var step = wanted.Count < 2 ? spacing : Math.Min(spacing, (high - low) / (wanted.Count - 1));
        var floor = low;
        foreach (var index in order)
        {
            placed[index] = Math.Max(floor, wanted[index]);
            floor = placed[index] + step;
        }
        var ceiling = high;
        foreach (var index in order.Reverse())
        {
            placed[index] = Math.Min(ceiling, placed[index]);
            ceiling = placed[index] - step;
        }
        return placed;
    }
}
