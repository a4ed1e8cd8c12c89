using Offtape.Passes;
using Offtape.Signal;
using Offtape.Simulator;
using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Perf.Passes;

/// <summary>
/// The time map against the simulated machine's truth: `maps COUNT [machine] [linear|minimum]`, COUNT passes a machine, each of one phrase of
/// every kind of real recording. Errors count where the source's 50 ms level is within 30 dB of its loudest; "from 40 Hz" where that of the
/// source above 40 Hz is, too.
/// </summary>
internal static class MapTrials
{
    private sealed record Outcome(
        string Machine,
        RecordingKind Kind,
        ulong Seed,
        double MeanMicroseconds,
        double RmsMicroseconds,
        double At99Microseconds,
        double WorstMicroseconds,
        double RmsFrom40HzMicroseconds,
        double At99From40HzMicroseconds,
        List<(double Error, double Sigma)> Points
    );

    // The lowest frequency that DIN 45 500 sheet 4 asks of a machine.
    private const double LowestMachineHz = 40;

    internal static int Run(string[] arguments)
    {
        var count = arguments.Length > 0 ? int.Parse(arguments[0]) : 5;
        var machines = new (string Name, MachineModel Model)[]
        {
            ("typical off tape", MachinePresets.TypicalDeck.OffTape()),
            ("typical rewound", MachinePresets.TypicalDeck.Rewound()),
            ("worn rewound", MachinePresets.WornDeck.Rewound()),
        };
        var outcomes = new List<Outcome>();
        foreach (var (name, model) in machines)
        {
            foreach (var phase in new[] { "linear", "minimum" })
            {
                var full = $"{name}, {phase} phase";
                if (arguments.Length > 1 && !arguments.Skip(1).All(a => full.Contains(a, StringComparison.Ordinal)))
                    continue;
                for (var i = 0; i < count; i++)
                    outcomes.AddRange(Pass(full, model with { Sound = model.Sound with { MinimumPhase = phase == "minimum" } }, i));
            }
        }
        Print(outcomes);
        return 0;
    }

    /// <summary>`rides COUNT`: a hand on the pitch control while replaying, and a stop and restart, in the middle of every source.</summary>
    internal static int RunRides(string[] arguments)
    {
        var count = arguments.Length > 0 ? int.Parse(arguments[0]) : 4;
        var model = MachinePresets.TypicalDeck.Rewound();
        model = model with { Sound = model.Sound with { MinimumPhase = false } };
        var outcomes = new List<Outcome>();
        foreach (
            var (name, options) in new[]
            {
                ("ride of 2 % at 0.7 Hz", (Func<double[], RunOptions>)Slow),
                ("ride of 12 %, ramps of 0.5 s", Wide),
                ("stop and restart", Stop),
            }
        )
        {
            if (arguments.Length > 1 && !name.Contains(arguments[1], StringComparison.Ordinal))
                continue;
            for (var i = 0; i < count; i++)
                outcomes.AddRange(Pass(name, model, i, options));
        }
        Print(outcomes);
        return 0;
    }

    // Times are capture seconds at nominal speed: where sources stand in the send, plus the lead.
    private static RunOptions Slow(double[] starts) =>
        new()
        {
            LeadScatterSeconds = 0,
            ReplayRide =
            [
                .. starts.SelectMany(s =>
                    Enumerable
                        .Range(0, 9)
                        .Select(k => new RidePoint(
                            s + 1 + k / 1.4,
                            k is 0 or 8 ? 1
                                : k % 2 == 1 ? 1.02
                                : 0.98
                        ))
                ),
            ],
        };

    private static RunOptions Wide(double[] starts) =>
        new()
        {
            LeadScatterSeconds = 0,
            ReplayRide =
            [
                .. starts.SelectMany(s =>
                    new[]
                    {
                        new RidePoint(s + 1, 1),
                        new RidePoint(s + 1.5, 1.12),
                        new RidePoint(s + 3, 1.12),
                        new RidePoint(s + 3.5, 0.88),
                        new RidePoint(s + 5, 0.88),
                        new RidePoint(s + 5.5, 1),
                    }
                ),
            ],
        };

    private static RunOptions Stop(double[] starts) =>
        new() { LeadScatterSeconds = 0, ReplayStops = [.. starts.Select((s, i) => new TapeStop(s + 3.5 + i * 1.05, 0.6))] };

    private static List<Outcome> Pass(string name, MachineModel model, int index, Func<double[], RunOptions>? options = null)
    {
        var outcomes = new List<Outcome>();
        using var rig = new PassRig();
        var kinds = Enum.GetValues<RecordingKind>();
        var phrases = kinds.Select((k, i) => Recordings.Phrase((ulong)(7000 + index * kinds.Length + i), k, 8)).ToArray();
        for (var k = 0; k < kinds.Length; k++)
            rig.AddSource(kinds[k].ToString(), [phrases[k]]);
        rig.Send();
        rig.Print(
            new SimulatedMachine(model, (ulong)(3000 + index)),
            options?.Invoke([.. rig.Sheet!.Items.Select(i => i.StartSeconds + new RunOptions().LeadSeconds)])
        );
        var result = rig.Return(r => r with { Retimings = [Retiming.Lock] });
        foreach (var take in result.Sheet.Takes)
        {
            var item = Array.FindIndex(kinds, k => take.Source == k + ".wav");
            if (!take.Found)
            {
                Console.Error.WriteLine($"{name} {index}: {take.Sentence}");
                continue;
            }
            var truth = rig.Truth[rig.CapturePath("capture")].TruthPerChannel[take.CaptureChannels![0]];
            outcomes.Add(
                Measure(name, kinds[item], (ulong)index, phrases[item], take.TimeMap!, s => truth.CaptureAt(rig.SendSeconds(item, s)))
            );
        }
        return outcomes;
    }

    private static Outcome Measure(
        string name,
        RecordingKind kind,
        ulong seed,
        float[] source,
        ReturnTimeMap map,
        Func<double, double> truth
    )
    {
        var loudFrom40Hz = MappedPass.Loud(From40Hz(source));
        // Where the tape runs below half its speed nothing can be held: a stop and its ramps, and what a window of them takes in.
        bool IsStopped(double t) => Enumerable.Range(-5, 11).Any(k => truth(t + 0.03 * k + 0.005) - truth(t + 0.03 * k - 0.005) > 0.02);
        var points = MappedPass
            .Points(source, map, truth)
            .Where(p => p.IsLoud && !IsStopped(p.SourceSeconds))
            .Select(p =>
                (Error: p.ErrorSeconds * 1e6, Sigma: p.SigmaSeconds * 1e6, IsFrom40Hz: loudFrom40Hz[(int)(p.SourceSeconds / 0.01)])
            )
            .ToList();
        var mean = points.Average(p => p.Error);
        var sorted = points.Select(p => Math.Abs(p.Error - mean)).Order().ToArray();
        var sortedFrom40Hz = points.Where(p => p.IsFrom40Hz).Select(p => Math.Abs(p.Error - mean)).Order().ToArray();
        return new Outcome(
            name,
            kind,
            seed,
            mean,
            Rms(sorted),
            At99(sorted),
            sorted[^1],
            Rms(sortedFrom40Hz),
            At99(sortedFrom40Hz),
            [.. points.Select(p => (p.Error, p.Sigma))]
        );
    }

    private static double Rms(double[] errors) => Math.Sqrt(errors.Average(e => e * e));

    private static double At99(double[] sorted) => sorted[(int)(0.99 * (sorted.Length - 1))];

    /// <summary>The source without what lies below the range of a machine, its time unchanged.</summary>
    private static float[] From40Hz(float[] source)
    {
        var sound = Array.ConvertAll(source, x => (double)x);
        var sections = FilterDesign.ButterworthHighPass(4, LowestMachineHz, Recordings.SampleRateHz);
        ZeroPhase.Apply(sections, sound, Recordings.SampleRateHz / 10);
        return Array.ConvertAll(sound, x => (float)x);
    }

    private static void Print(List<Outcome> outcomes)
    {
        Console.WriteLine(
            "| machine | kind | sources | median rms, µs | worst rms, µs | worst 99th, µs | from 40 Hz: worst rms, µs | worst 99th, µs | worst point, µs | mean offset, µs | rms of error/sigma |"
        );
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (var group in outcomes.GroupBy(o => (o.Machine, o.Kind)))
            Row(group.Key.Machine, group.Key.Kind.ToString(), [.. group]);
        foreach (var group in outcomes.GroupBy(o => o.Machine))
            Row(group.Key, "all", [.. group]);
        foreach (var o in outcomes.OrderByDescending(o => o.RmsMicroseconds).Take(12))
            Console.Error.WriteLine(
                $"{o.Machine} {o.Kind} {o.Seed}: rms {o.RmsMicroseconds:0.0} 99th {o.At99Microseconds:0.0} worst {o.WorstMicroseconds:0.0} offset {o.MeanMicroseconds:0.0}"
            );
    }

    private static void Row(string machine, string kind, List<Outcome> group)
    {
        var rms = group.Select(o => o.RmsMicroseconds).Order().ToArray();
        var ratio = Math.Sqrt(
            group
                .SelectMany(o => o.Points.Select(p => (p.Error - o.MeanMicroseconds, p.Sigma)))
                .Average(p => p.Item1 * p.Item1 / (p.Sigma * p.Sigma))
        );
        Console.WriteLine(
            $"| {machine} | {kind} | {group.Count} | {rms[rms.Length / 2]:0.0} | {rms[^1]:0.0} | {group.Max(o => o.At99Microseconds):0.0} | {group.Max(o => o.RmsFrom40HzMicroseconds):0.0} | {group.Max(o => o.At99From40HzMicroseconds):0.0} | {group.Max(o => o.WorstMicroseconds):0.0} | {group.Average(o => o.MeanMicroseconds):0.0} | {ratio:0.00} |"
        );
    }
}
