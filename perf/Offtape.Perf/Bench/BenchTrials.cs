using System.Diagnostics;
using Offtape.Bench;

namespace Offtape.Perf.Bench;

/// <summary>
/// The whole bench against simulated machines: `bench-trials SEEDS [machine] [--from SEED] [--parts NAME,...] [--quantity NAME] [--by-machine]
/// [--wide] [--rows FILE]`. Every machine preset, each way of taking it; each reading that has a known truth is compared with it. Wanted: the
/// truth within the stated uncertainty in 90 to 99 of 100, both too tight and too wide being faults, and no value where none can be known.
/// </summary>
internal static class BenchTrials
{
    private static readonly string[] WithValue = ["--quantity", "--parts", "--rows", "--from"];

    internal static int Run(string[] arguments)
    {
        var seeds = arguments.Length > 0 ? int.Parse(arguments[0]) : 3;
        var first = After(arguments, "--from") is { } from ? int.Parse(from) : 1;
        var machine = arguments.Skip(1).Where((a, i) => !a.StartsWith('-') && !WithValue.Contains(arguments[i])).FirstOrDefault();
        var quantity = After(arguments, "--quantity");
        // A few parts take less time, and tell what is read of them as well.
        var parts = After(arguments, "--parts")?.Split(',');
        var (held, none, withoutTruth) = (new List<Held>(), new List<Held>(), new SortedSet<string>(StringComparer.Ordinal));
        var memos = new Dictionary<string, TrialMemo>(StringComparer.Ordinal);
        var (runSeconds, readSeconds, truthSeconds) = (0.0, 0.0, 0.0);
        foreach (var (number, (model, how)) in TrialRunner.Machines.Index())
        {
            if (machine is not null && !model.Name.Contains(machine, StringComparison.OrdinalIgnoreCase))
                continue;
            // However it is taken, the machine is the same.
            var memo = memos.TryGetValue(model.Name, out var known) ? known : memos[model.Name] = new TrialMemo();
            for (var seed = first; seed < first + seeds; seed++)
            {
                var watch = Stopwatch.StartNew();
                var trial = TrialRunner.Run(model, how, Chance(number, seed), parts: parts, memo: memo);
                runSeconds += watch.Elapsed.TotalSeconds;
                watch.Restart();
                var findings = BenchReaders.Run(trial.Capture, trial.Facts, CancellationToken.None);
                readSeconds += watch.Elapsed.TotalSeconds;
                watch.Restart();
                var truths = BenchTruths.All.SelectMany(t => t(trial)).ToArray();
                truthSeconds += watch.Elapsed.TotalSeconds;
                foreach (var reading in findings.Readings.Where(r => quantity is null || r.Quantity == quantity))
                {
                    var truth = Array.Find(
                        truths,
                        t => (t.Quantity, t.Channel, t.Condition) == (reading.Quantity, reading.Channel, reading.Condition)
                    );
                    if (truth is null)
                        withoutTruth.Add(reading.Quantity);
                    else
                        (truth.Value is null ? none : held).Add(Compared(reading, $"{model.Name}, {how}", seed, truth.Value ?? double.NaN));
                }
            }
            Console.Error.WriteLine(
                $"{model.Name}, {how}: done; by the clock {runSeconds:0} s of running machines, {readSeconds:0} s of reading, {truthSeconds:0} s of truths"
            );
        }
        if (After(arguments, "--rows") is { } rows)
            File.WriteAllLines(rows, held.Concat(none).Select(h => h.Row));
        TrialTable.Print(
            held,
            h =>
                h.Quantity
                + (arguments.Contains("--wide") ? $" {h.Condition} {h.Channel}" : "")
                + (arguments.Contains("--by-machine") ? $", {h.Machine}" : "")
        );
        SayWhatIsNotHeld(none, withoutTruth.Except(held.Concat(none).Select(h => h.Quantity)));
        return 0;
    }

    // One seed would draw the same noise and wander for every machine, and all rows would stand and fall together.
    private static ulong Chance(int machine, int seed) => (ulong)(1000 * (machine + 1) + seed);

    private static Held Compared(Reading reading, string machine, int seed, double truth) =>
        new(reading.Quantity, machine, seed, reading.Condition, reading.Channel, truth, reading.Value, reading.Uncertainty);

    private static void SayWhatIsNotHeld(List<Held> none, IEnumerable<string> withoutTruth)
    {
        static IEnumerable<string> Counts(IEnumerable<IGrouping<string, Held>> groups) =>
            groups.Select(g => $"{g.Key} {g.Count()}").Order();
        var stated = none.Where(h => h.Value is not null).ToArray();
        Console.WriteLine();
        Console.WriteLine($"Looked at where nothing can be known: {string.Join(", ", Counts(none.GroupBy(h => h.Quantity)))}.");
        Console.WriteLine(
            stated.Length == 0
                ? "Nothing was stated there."
                : $"Stated all the same: {string.Join(", ", Counts(stated.GroupBy(h => $"{h.Quantity} ({h.Machine})")))}."
        );
        Console.WriteLine($"Read, but without a known truth: {string.Join(", ", withoutTruth)}.");
    }

    private static string? After(string[] arguments, string name) =>
        Array.IndexOf(arguments, name) is >= 0 and var i && i + 1 < arguments.Length ? arguments[i + 1] : null;
}
