using Offtape.Signal;
using Offtape.Testing;

namespace Offtape.Perf.Passes;

/// <summary>
/// Slipped cycles: `slips COUNT`, at least COUNT short takes (1.2 to 2.6 s) of every kind over all machines. A take has slipped where its map is
/// off by more than half a period of the source's dominant partial somewhere where it sounds; with minimum phase one constant a pass is no
/// error.
/// </summary>
internal static class SlipTrials
{
    private const int TakesAPass = 20;

    internal static int Run(string[] arguments)
    {
        var count = arguments.Length > 0 ? int.Parse(arguments[0]) : 500;
        var kinds = Enum.GetValues<RecordingKind>();
        var passes = (count + TakesAPass - 1) / TakesAPass;
        var rows = kinds.ToDictionary(k => k, _ => new int[4]);
        var told = new List<string>();
        for (var i = 0; i < passes; i++)
        {
            var (name, model) = MappedPass.Machines[i % MappedPass.Machines.Length];
            var random = new SplitMix64((ulong)i);
            var phrases = Enumerable.Range(0, TakesAPass).Select(k => (kinds[k % kinds.Length], 1.2 + 1.4 * random.Unit())).ToArray();
            using var rig = new PassRig();
            var seed = (ulong)(60_000 + i);
            var takes = MappedPass.Run(rig, model, seed, phrases);
            var constant = model.Sound.MinimumPhase ? MappedPass.Constant(takes) : 0;
            foreach (var phrase in phrases)
                rows[phrase.Item1][0]++;
            foreach (var take in takes)
            {
                var half = 0.5 / DominantHz(take.Source);
                var worst = take.Loud.MaxBy(p => Math.Abs(p.ErrorSeconds - constant));
                var error = Math.Abs(worst.ErrorSeconds - constant);
                rows[take.Kind][1]++;
                if (error <= half)
                    continue;
                rows[take.Kind][2]++;
                var isTold = take.Take.Warnings.Count > 0;
                rows[take.Kind][3] += isTold ? 1 : 0;
                told.Add(
                    $"{name}, {take.Take.Source} of {seed}: {error * 1e3:0.000} ms at {worst.SourceSeconds:0.00} s, half a period {half * 1e3:0.000} ms, stated {worst.SigmaSeconds * 1e3:0.000} ms; {string.Join(", ", take.Take.Warnings.Select(w => w.Code))}"
                );
            }
        }
        Console.WriteLine("| kind | takes | found | slipped | slipped and warned of |");
        Console.WriteLine("| --- | --- | --- | --- | --- |");
        foreach (var (kind, row) in rows)
            Console.WriteLine($"| {kind} | {row[0]} | {row[1]} | {row[2]} | {row[3]} |");
        Console.WriteLine($"| all | {string.Join(" | ", Enumerable.Range(0, 4).Select(c => rows.Values.Sum(r => r[c])))} |");
        foreach (var line in told)
            Console.WriteLine(line);
        return 0;
    }

    /// <summary>Where the spectrum of the whole source, in windows of 170 ms, is highest.</summary>
    internal static double DominantHz(float[] source)
    {
        const int length = 8192;
        var transform = new RealTransform(length);
        var (window, block) = (new float[length], new float[length]);
        Windows.Hann(window, WindowForm.Periodic);
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        var power = new double[transform.BinCount];
        for (var start = 0; start < source.Length; start += length / 2)
        {
            Array.Clear(block);
            for (var i = 0; i < Math.Min(length, source.Length - start); i++)
                block[i] = source[start + i] * window[i];
            transform.Forward(block, re, im);
            for (var k = 0; k < power.Length; k++)
                power[k] += re[k] * re[k] + im[k] * im[k];
        }
        var best = 4;
        for (var k = 4; k < power.Length; k++)
            best = power[k] > power[best] ? k : best;
        return best * (double)Recordings.SampleRateHz / length;
    }
}
