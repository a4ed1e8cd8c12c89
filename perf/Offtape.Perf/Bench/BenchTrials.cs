using Offtape.Bench;

namespace Offtape.Perf.Bench;

/// <summary>
/// The whole bench against simulated machines: `bench-trials SEEDS [machine] [--by-machine] [--quantity NAME] [--parts NAME,...] [--wide]`. Every machine preset,
/// each way of taking it; each reading that has a known truth is compared with it. Wanted: the truth within the stated uncertainty in 90 to
/// 99 of 100, both too tight and too wide being faults, and no value where none can be known.
/// </summary>
internal static class BenchTrials
{
    private sealed record Held(
        string Quantity,
        string Machine,
        string Condition,
        int? Channel,
        double Truth,
        double? Value,
        double? Uncertainty
    )
    {
        internal bool IsWithin => Math.Abs(Value!.Value - Truth) <= Uncertainty!.Value;

        /// <summary>Error in units of the uncertainty; a yes or no is either right, 0, or as wrong as can be.</summary>
        internal double Share =>
            Uncertainty > 0 ? Math.Abs(Value!.Value - Truth) / Uncertainty.Value
            : Value == Truth ? 0
            : double.PositiveInfinity;
    }

    internal static int Run(string[] arguments)
    {
        var seeds = arguments.Length > 0 ? int.Parse(arguments[0]) : 3;
        var machine = arguments
            .Skip(1)
            .FirstOrDefault(a => !a.StartsWith('-') && a != After(arguments, "--quantity") && a != After(arguments, "--parts"));
        var quantity = After(arguments, "--quantity");
        // A few parts take less time, and tell what is read of them as well.
        var parts = After(arguments, "--parts")?.Split(',');
        var held = new List<Held>();
        var stated = new SortedDictionary<string, int>(StringComparer.Ordinal);
        var checkedForNone = new SortedDictionary<string, int>(StringComparer.Ordinal);
        var withoutTruth = new SortedSet<string>(StringComparer.Ordinal);
        foreach (var (model, how) in TrialRunner.Machines)
        {
            if (machine is not null && !model.Name.Contains(machine, StringComparison.OrdinalIgnoreCase))
                continue;
            for (var seed = 1; seed <= seeds; seed++)
            {
                var trial = TrialRunner.Run(model, how, (ulong)seed, parts: parts);
                var findings = BenchReaders.Run(trial.Capture, trial.Facts, CancellationToken.None);
                var truths = BenchTruths.All.SelectMany(t => t(trial)).ToArray();
                foreach (var reading in findings.Readings.Where(r => quantity is null || r.Quantity == quantity))
                {
                    var truth = Array.Find(
                        truths,
                        t => (t.Quantity, t.Channel, t.Condition) == (reading.Quantity, reading.Channel, reading.Condition)
                    );
                    if (truth is null)
                        withoutTruth.Add(reading.Quantity);
                    else if (truth.Value is { } value)
                        held.Add(
                            new Held(
                                reading.Quantity,
                                $"{model.Name}, {how}",
                                reading.Condition,
                                reading.Channel,
                                value,
                                reading.Value,
                                reading.Uncertainty
                            )
                        );
                    else
                    {
                        checkedForNone[reading.Quantity] = checkedForNone.GetValueOrDefault(reading.Quantity) + 1;
                        if (reading.Value is not null)
                            stated[$"{reading.Quantity} ({model.Name}, {how})"] =
                                stated.GetValueOrDefault($"{reading.Quantity} ({model.Name}, {how})") + 1;
                    }
                }
            }
            Console.Error.WriteLine($"{model.Name}, {how}: done");
        }
        Print(held, arguments.Contains("--by-machine"), arguments.Contains("--wide"));
        Console.WriteLine();
        Console.WriteLine($"Looked at where nothing can be known: {string.Join(", ", checkedForNone.Select(c => $"{c.Key} {c.Value}"))}.");
        Console.WriteLine(
            stated.Count == 0
                ? "Nothing was stated there."
                : $"Stated all the same: {string.Join(", ", stated.Select(s => $"{s.Key} {s.Value}"))}."
        );
        Console.WriteLine(
            $"Read, but without a known truth: {string.Join(", ", withoutTruth.Except(held.Select(h => h.Quantity)).Except(checkedForNone.Keys))}."
        );
        return 0;
    }

    private static string? After(string[] arguments, string name) =>
        Array.IndexOf(arguments, name) is >= 0 and var i && i + 1 < arguments.Length ? arguments[i + 1] : null;

    private static void Print(List<Held> held, bool byMachine, bool byCondition)
    {
        Console.WriteLine(
            "| quantity | read | not read | truth within the uncertainty | median error ÷ uncertainty | median error | median uncertainty | worst error ÷ uncertainty |"
        );
        Console.WriteLine("| --- | ---: | ---: | ---: | ---: | ---: | ---: | --- |");
        string Key(Held h) => h.Quantity + (byCondition ? $" {h.Condition} {h.Channel}" : "") + (byMachine ? $", {h.Machine}" : "");
        foreach (var group in held.GroupBy(Key).OrderBy(g => g.Key, StringComparer.Ordinal))
        {
            var read = group.Where(h => h.Value is not null && h.Uncertainty is not null).ToArray();
            if (read.Length == 0)
            {
                Console.WriteLine($"| {group.Key} | 0 | {group.Count()} | | | | | |");
                continue;
            }
            var within = 100.0 * read.Count(h => h.IsWithin) / read.Length;
            var worst = read.MaxBy(h => h.Share)!;
            Console.WriteLine(
                $"| {group.Key} | {read.Length} | {group.Count() - read.Length} | {within:0.0} %{(within is < 90 or > 99 && read.Any(h => h.Uncertainty > 0) ? " !" : "")} "
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
