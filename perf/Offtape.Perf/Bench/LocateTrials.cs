using Offtape.Bench;

namespace Offtape.Perf.Bench;

/// <summary>
/// The bench's clock against the simulated machine's truth: `bench-locate SEEDS [machine [parts]]`. For every machine the largest error at any moment
/// of a part that was heard, and what was not heard.
/// </summary>
internal static class LocateTrials
{
    internal static int Run(string[] arguments)
    {
        var seeds = arguments.Length > 0 ? int.Parse(arguments[0]) : 3;
        Console.WriteLine("| machine | taken | median error, ms | 99 % | worst | parts missing | clipped |");
        Console.WriteLine("| --- | --- | ---: | ---: | ---: | --- | --- |");
        foreach (var (model, how) in TrialRunner.Machines)
        {
            if (arguments.Length > 1 && !model.Name.Contains(arguments[1], StringComparison.OrdinalIgnoreCase))
                continue;
            var errors = new List<double>();
            var missing = new List<string>();
            var clipped = new List<string>();
            for (var seed = 1; seed <= seeds; seed++)
            {
                var trial = TrialRunner.Run(model, how, (ulong)seed);
                var capture = trial.Capture;
                missing.AddRange(capture.Missing.Select(m => $"{m.Name} ({m.Reason})"));
                clipped.AddRange(capture.Clipped);
                double Late(double t) =>
                    1e3 * (capture.Clock.CaptureAt(t) + capture.StartInFileSeconds - trial.Return.TruthPerChannel[0].CaptureAt(t));

                foreach (var part in capture.Heard)
                {
                    if (arguments.Length > 2)
                        Console.WriteLine(
                            $"    {part.Name}: {Late(part.StartSeconds):0.00} {Late(part.StartSeconds + part.LengthSeconds / 2):0.00} {Late(part.StartSeconds + part.LengthSeconds):0.00} ms"
                        );
                    for (var t = part.StartSeconds; t <= part.StartSeconds + part.LengthSeconds; t += 0.1)
                        errors.Add(Math.Abs(Late(t)));
                }
            }
            errors.Sort();
            Console.WriteLine(
                $"| {model.Name} | {how} | {errors[errors.Count / 2]:0.00} | {errors[errors.Count * 99 / 100]:0.00} | {errors[^1]:0.00} | "
                    + $"{string.Join(", ", missing)} | {string.Join(", ", clipped)} |"
            );
        }
        return 0;
    }
}
