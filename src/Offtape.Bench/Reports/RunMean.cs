namespace Offtape.Bench;

/// <summary>The findings of several runs as one: means, with the spread between the runs as the uncertainty where it is the larger.</summary>
internal static class RunMean
{
    internal static Findings Of(IReadOnlyList<Findings> runs)
    {
        if (runs.Count == 1)
            return runs[0];
        return new Findings
        {
            Readings = [.. runs.SelectMany(r => r.Readings).GroupBy(r => r.Key).Select(g => Mean([.. g], runs.Count))],
            Curves = [.. runs.SelectMany(r => r.Curves).GroupBy(c => (c.Quantity, c.Channel, c.Condition)).Select(g => Mean([.. g]))],
            Notices = [.. runs.SelectMany(r => r.Notices).DistinctBy(n => (n.Code, n.Text))],
        };
    }

    private static Reading Mean(Reading[] readings, int runCount)
    {
        var read = readings.Where(r => r.Value is not null).ToArray();
        if (read.Length == 0)
            return readings.All(r => r.AtMost is not null) ? readings.MaxBy(r => r.AtMost)! : readings[0];
        if (read.Length == 1)
            return read[0] with { Method = $"{read[0].Method}; one run of {runCount}" };
        var mean = read.Average(r => r.Value!.Value);
        // The runs' own uncertainties are not averaged away: much of them is common to all.
        var own = read.Average(r => r.Uncertainty ?? 0);
        var deviation = Math.Sqrt(read.Sum(r => Math.Pow(r.Value!.Value - mean, 2)) / (read.Length - 1));
        return read[0] with
        {
            Value = mean,
            Uncertainty = Math.Max(own, 2 * deviation),
            Method = $"{read[0].Method}; mean of {read.Length} runs",
            Reason = null,
            AtMost = null,
        };
    }

    // Only curves at the same places can be averaged; of others the first stands for all.
    private static ReadingCurve Mean(ReadingCurve[] curves)
    {
        var first = curves[0];
        if (curves.Length == 1 || curves.Any(c => !c.X.AsSpan().SequenceEqual(first.X)))
            return first;
        var y = new double[first.X.Length];
        var uncertainty = new double[first.Uncertainty.Length];
        for (var i = 0; i < y.Length; i++)
        {
            var values = curves.Select(c => c.Y[i]).Where(double.IsFinite).ToArray();
            y[i] = values.Length == 0 ? double.NaN : values.Average();
            if (i >= uncertainty.Length)
                continue;
            var own = curves.Where(c => double.IsFinite(c.Y[i]) && c.Uncertainty.Length > i).Select(c => c.Uncertainty[i]).ToArray();
            var spread = values.Length < 2 ? 0 : 2 * Math.Sqrt(values.Sum(v => (v - y[i]) * (v - y[i])) / (values.Length - 1));
            uncertainty[i] = own.Length == 0 ? double.NaN : Math.Max(own.Average(), spread);
        }
        return first with { Y = y, Uncertainty = uncertainty, Method = $"{first.Method}; mean of {curves.Length} runs" };
    }
}
