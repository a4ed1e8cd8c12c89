using System.Diagnostics;
using Offtape.Bench;
using Offtape.Simulator;
using Offtape.Tape;

namespace Offtape.Perf.Bench;

/// <summary>
/// A tone of 3150 Hz through every preset in both ways: how often the truth lies within a reading's stated uncertainty, and how wide that is.
/// Arguments: seeds for each machine and way (20), seconds of the tone (40).
/// </summary>
internal static class SpeedTrials
{
    private const int RateHz = 48_000;

    internal static int Run(string[] args)
    {
        var seeds = args.Length > 0 ? int.Parse(args[0]) : 20;
        var seconds = args.Length > 1 ? double.Parse(args[1]) : 40;
        Machine.Print();
        Console.WriteLine(
            $"3150 Hz for {seconds} s at −6 dB, {seeds} seeds a machine and way; truth from the time maps over the same stretch"
        );
        Console.WriteLine();
        var table = new SortedDictionary<string, List<(string Machine, double Error, double Uncertainty, double Truth)>>(
            StringComparer.Ordinal
        );
        var (wrong, missing, milliseconds, runs) = (0, 0, 0.0, 0);
        foreach (var preset in MachinePresets.All)
        {
            foreach (var how in new[] { HowTaken.OffTape, HowTaken.Rewound })
            {
                var model = how == HowTaken.OffTape ? preset.OffTape() : preset.Rewound();
                for (var seed = 1; seed <= seeds; seed++)
                {
                    var tone = Tone(seconds, model.SendOperatingLevelDbfs - 6);
                    var made = new SimulatedMachine(model, (ulong)seed).Run(
                        [tone, tone],
                        RateHz,
                        new RunOptions { TruthStepSeconds = 0.0005 }
                    );
                    var before = Process.GetCurrentProcess().TotalProcessorTime;
                    var m = ToneMeter.Measure([.. made.Channels.Select(c => (ReadOnlyMemory<float>)c)], RateHz);
                    if (m is null)
                    {
                        missing++;
                        continue;
                    }
                    var facts = new MachineFacts
                    {
                        SpeedCmPerSecond = model.SpeedCmPerSecond,
                        // As a ruler has it: 1 % off in root mean square.
                        HeadDistanceMm = model.Transport.HeadDistanceMm * (1 + 0.01 * new Dice((ulong)seed, "ruler").Normal()),
                    };
                    var found = SpeedReader.Findings(m, how, 3150, facts);
                    milliseconds += (Process.GetCurrentProcess().TotalProcessorTime - before).TotalMilliseconds;
                    runs++;
                    foreach (var truth in SpeedTruths.Of(m, how, 0, made.TruthPerChannel, 0, TrueComb(model)))
                    {
                        var reading = found.Readings.FirstOrDefault(r => r.Quantity == truth.Quantity && r.Condition == truth.Condition);
                        if (truth.Value is not { } value)
                            wrong += reading?.Value is null || IsAtTheLimit(reading, model) ? 0 : 1;
                        else if (reading is { Value: { } got, Uncertainty: { } u })
                        {
                            var name = truth.Quantity == "speedLine" ? "speedLine" : truth.Quantity;
                            var key = name + (how == HowTaken.OffTape ? ", off tape" : ", rewound");
                            if (!table.TryGetValue(key, out var rows))
                                table[key] = rows = [];
                            rows.Add((preset.Name, got - value, u, value));
                        }
                    }
                }
            }
        }
        Console.WriteLine(
            "| reading | readings | truth inside | least of a machine | error ÷ uncertainty at 50, 95 % | median error % | median uncertainty % | median truth % |"
        );
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (var (key, rows) in table)
        {
            var least = rows.GroupBy(r => r.Machine).MinBy(g => g.Average(Inside))!;
            Console.WriteLine(
                $"| {key} | {rows.Count} | {100 * rows.Average(Inside):F1} % | {100 * least.Average(Inside):F0} % ({least.Key}) | {Quantile(rows.Select(r => Math.Abs(r.Error) / r.Uncertainty), 0.5):F2}, {Quantile(rows.Select(r => Math.Abs(r.Error) / r.Uncertainty), 0.95):F2} | "
                    + $"{Median(rows.Select(r => Math.Abs(r.Error))):G3} | {Median(rows.Select(r => r.Uncertainty)):G3} | {Median(rows.Select(r => Math.Abs(r.Truth))):G3} |"
            );
        }
        Console.WriteLine();
        Console.WriteLine(
            $"Stated where nothing may be: {wrong}. No tone found: {missing}. "
                + $"One reading: {milliseconds / Math.Max(1, runs):F0} ms of processor time, on all cores together."
        );
        return wrong + missing == 0 ? 0 : 1;
    }

    // A distance read from a ruler moves the comb a little: a line just below its limit may then be stated.
    private static bool IsAtTheLimit(Reading reading, MachineModel model) =>
        reading.Quantity == "speedLine"
        && HeadGap.WobbleGain(double.Parse(reading.Condition.Split(' ')[0]), TrueComb(model).DelaySeconds) > 0.9 * WobbleComb.LeastGain;

    private static WobbleComb TrueComb(MachineModel model) => new(model.Transport.HeadDistanceMm / 10 / model.SpeedCmPerSecond);

    internal static float[] Tone(double seconds, double peakDbfs)
    {
        var tone = new float[(int)(seconds * RateHz)];
        var peak = Math.Pow(10, peakDbfs / 20);
        for (var i = 0; i < tone.Length; i++)
        {
            var fade = Math.Min(1, Math.Min(i, tone.Length - 1 - i) / (0.02 * RateHz));
            tone[i] = (float)(peak * fade * Math.Sin(2 * Math.PI * 3150.0 * i / RateHz));
        }
        return tone;
    }

    private static double Inside((string, double Error, double Uncertainty, double) row) => Math.Abs(row.Error) <= row.Uncertainty ? 1 : 0;

    private static double Median(IEnumerable<double> values) => Quantile(values, 0.5);

    private static double Quantile(IEnumerable<double> values, double share)
    {
        var sorted = values.Order().ToArray();
        return sorted.Length == 0 ? double.NaN : sorted[(int)(share * (sorted.Length - 1))];
    }
}
