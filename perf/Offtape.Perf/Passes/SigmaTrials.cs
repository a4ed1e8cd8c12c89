using Offtape.Testing;

namespace Offtape.Perf.Passes;

/// <summary>
/// Whether a map's stated deviation is that of its error: `sigma COUNT [machine [FROM [FILE]]]`, COUNT passes of each machine, in each one phrase of 4 s of
/// every kind. FILE receives every point: machine, seed, kind, source second, error and stated deviation in microseconds. Points where the source sounds, in five bins of stated deviation with as many points each. With minimum phase one constant a
/// pass (the machine's delay of the mid range) is no error.
/// </summary>
internal static class SigmaTrials
{
    internal static int Run(string[] arguments)
    {
        var count = arguments.Length > 0 ? int.Parse(arguments[0]) : 25;
        var all = new List<(string Machine, RecordingKind Kind, double Error, double Sigma)>();
        var phrases = Enum.GetValues<RecordingKind>().Select(k => (k, 4.0)).ToArray();
        var passes = 0;
        var from = arguments.Length > 2 ? int.Parse(arguments[2]) : 0;
        for (var i = 0; i < count; i++)
        {
            foreach (var (name, model) in MappedPass.Machines)
            {
                if (arguments.Length > 1 && !name.Contains(arguments[1], StringComparison.Ordinal))
                    continue;
                using var rig = new PassRig();
                var takes = MappedPass.Run(rig, model, (ulong)(50_000 + from + i), phrases);
                var constant = model.Sound.MinimumPhase ? MappedPass.Constant(takes) : 0;
                foreach (var take in takes)
                    all.AddRange(take.Loud.Select(p => (name, take.Kind, p.ErrorSeconds - constant, p.SigmaSeconds)));
                if (arguments.Length > 3)
                    Append(arguments[3], name, 50_000 + from + i, takes, constant);
                passes++;
            }
            Console.Error.WriteLine($"{passes} passes done");
            // A long run can be stopped without losing what it has.
            if (i % 5 == 4)
                Print(passes, all);
        }
        if (count % 5 != 0)
            Print(passes, all);
        return 0;
    }

    private static void Append(string file, string machine, int seed, IEnumerable<MappedTake> takes, double constant) =>
        File.AppendAllLines(
            file,
            takes.SelectMany(t =>
                t.Loud.Select(p =>
                    FormattableString.Invariant(
                        $"{machine.Replace(' ', '_')} {seed} {t.Kind} {p.SourceSeconds:0.000} {(p.ErrorSeconds - constant) * 1e6:0.000} {p.SigmaSeconds * 1e6:0.000}"
                    )
                )
            )
        );

    private static void Print(int passes, List<(string Machine, RecordingKind Kind, double Error, double Sigma)> all)
    {
        Console.WriteLine($"{passes} passes, {all.Count:N0} points.");
        Console.WriteLine();
        Console.WriteLine("| points | bin 1 | bin 2 | bin 3 | bin 4 | bin 5 | within one | within two | beyond 1 ms and 3 sigma |");
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        Row("all", [.. all.Select(p => (p.Error, p.Sigma))]);
        foreach (var group in all.GroupBy(p => p.Machine))
            Row(group.Key, [.. group.Select(p => (p.Error, p.Sigma))]);
        foreach (var group in all.GroupBy(p => p.Kind))
            Row(group.Key.ToString(), [.. group.Select(p => (p.Error, p.Sigma))]);
        Console.WriteLine();
    }

    private static void Row(string name, (double Error, double Sigma)[] points)
    {
        Array.Sort(points, (a, b) => a.Sigma.CompareTo(b.Sigma));
        var cells = Enumerable
            .Range(0, 5)
            .Select(b =>
            {
                var bin = points[(b * points.Length / 5)..((b + 1) * points.Length / 5)];
                var sigma = Math.Sqrt(bin.Average(p => p.Sigma * p.Sigma));
                return $"{Math.Sqrt(bin.Average(p => p.Error * p.Error)) / sigma:0.00} ({sigma * 1e6:0.0} µs)";
            });
        double Share(double sigmas) => 100.0 * points.Count(p => Math.Abs(p.Error) <= sigmas * p.Sigma) / points.Length;
        var wild = points.Count(p => Math.Abs(p.Error) > 1e-3 && Math.Abs(p.Error) > 3 * p.Sigma);
        Console.WriteLine($"| {name} | {string.Join(" | ", cells)} | {Share(1):0} % | {Share(2):0} % | {wild} |");
    }
}
