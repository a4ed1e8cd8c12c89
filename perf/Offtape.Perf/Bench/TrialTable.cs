namespace Offtape.Perf.Bench;

/// <summary>How often readings held the truth within their uncertainty, a row for each quantity.</summary>
internal static class TrialTable
{
    /// <param name="key">What stands in one row.</param>
    internal static void Print(IReadOnlyList<Held> held, Func<Held, string> key)
    {
        Console.WriteLine(
            "| quantity | read | not read | runs | truth within the uncertainty | by chance | median error ÷ uncertainty | median error | median uncertainty | worst error ÷ uncertainty |"
        );
        Console.WriteLine("| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | --- |");
        foreach (var group in held.GroupBy(key).OrderBy(g => g.Key, StringComparer.Ordinal))
        {
            var read = group.Where(h => h.IsRead).ToArray();
            if (read.Length == 0)
            {
                Console.WriteLine($"| {group.Key} | 0 | {group.Count()} | | | | | | | |");
                continue;
            }
            var runs = read.Select(h => (h.Machine, h.Seed)).Distinct().Count();
            var within = 100.0 * read.Count(h => h.IsWithin) / read.Length;
            // Channels and levels of one run share its noise, so a run counts once.
            var chance = 100 * Math.Sqrt(0.95 * 0.05 / runs);
            var isFigure = read.Any(h => h.Uncertainty > 0);
            var mark =
                !isFigure ? ""
                : within < 90 ? " !"
                : within > 99 ? " wide"
                : "";
            var worst = read.MaxBy(h => h.Share)!;
            Console.WriteLine(
                $"| {group.Key} | {read.Length} | {group.Count() - read.Length} | {runs} | {within:0.0} %{mark} | ±{chance:0} % "
                    + $"| {Median(read.Select(h => h.Share)):0.00} "
                    + $"| {Median(read.Select(h => Math.Abs(h.Value!.Value - h.Truth))):G3} | {Median(read.Select(h => h.Uncertainty!.Value)):G3} "
                    + $"| {worst.Share:0.0}: {worst.Value:G4} for {worst.Truth:G4} ({worst.Machine}, {worst.Condition} {worst.Channel}) |"
            );
        }
    }

    private static double Median(IEnumerable<double> values)
    {
        var sorted = values.Order().ToArray();
        return sorted[sorted.Length / 2];
    }
}
