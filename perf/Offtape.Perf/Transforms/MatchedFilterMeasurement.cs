using System.Diagnostics;
using Offtape.Signal;

namespace Offtape.Perf;

/// <summary>The real use: four slate chirps looked for in half an hour at 16 kHz, with envelope and normalised correlation.</summary>
internal static class MatchedFilterMeasurement
{
    public static int Run(string[] arguments)
    {
        const double rateHz = 16_000;
        Machine.Print();
        var templates = new[] { 0.2, 0.3, 0.4, 0.5 }.Select(seconds => Template(new HyperbolicChirp(6000, 500, seconds), rateHz)).ToArray();
        var bank = new MatchedFilterBank(templates);
        var block = new float[4800];
        var random = new Random(1);
        foreach (ref var value in block.AsSpan())
            value = (float)(random.NextDouble() - 0.5);
        using var process = Process.GetCurrentProcess();
        var best = double.PositiveInfinity;
        var peak = 0.0;
        for (var round = 0; round < 5; round++)
        {
            var start = process.TotalProcessorTime;
            var frames = 0L;
            void Look(in MatchedBlock found)
            {
                for (var i = 0; i < found.Count; i++)
                    peak = Math.Max(peak, found.Re[i]);
            }
            for (; frames < 1800 * rateHz; frames += block.Length)
                bank.Process(block, Look);
            bank.Finish(Look);
            process.Refresh();
            best = Math.Min(best, (process.TotalProcessorTime - start).TotalSeconds);
        }
        Console.WriteLine(
            $"4 templates of 0.2 to 0.5 s with quadrature, 30 minutes at 16 kHz, one thread, best of 5: {best:F2} s of processor time (highest output {peak:F3})"
        );
        return 0;
    }

    private static MatchedTemplate Template(HyperbolicChirp chirp, double rateHz)
    {
        var inPhase = new float[(int)(chirp.DurationSeconds * rateHz)];
        var quadrature = new float[inPhase.Length];
        chirp.Synthesise(rateHz, 0, inPhase);
        chirp.SynthesiseQuadrature(rateHz, 0, quadrature);
        return new MatchedTemplate(inPhase, quadrature);
    }
}
