using System.Diagnostics;
using Offtape.Simulator;
using Offtape.Tape;

namespace Offtape.Perf.Simulator;

/// <summary>
/// How fast the simulated machine runs, and how near its wobble comes to the stated figure over many seeds. Arguments: minutes of the long
/// run (10), number of seeds (50).
/// </summary>
internal static class SimulatorMeasurement
{
    private const int Rate = 48_000;

    internal static int Run(string[] arguments)
    {
        var minutes = arguments.Length > 0 ? double.Parse(arguments[0]) : 10;
        var seeds = arguments.Length > 1 ? int.Parse(arguments[1]) : 50;
        Machine.Print();
        Speed(minutes);
        Figures(seeds);
        return 0;
    }

    private static void Speed(double minutes)
    {
        Console.WriteLine();
        Console.WriteLine($"Stereo, 48 kHz, {minutes} min of noise at −20 dBFS, full chain; times real time");
        Console.WriteLine("machine                    wall   by processor time on two cores   peak memory MB");
        var random = new Random(1);
        var send = new float[2][];
        for (var c = 0; c < 2; c++)
        {
            send[c] = new float[(int)(minutes * 60 * Rate)];
            for (var i = 0; i < send[c].Length; i++)
                send[c][i] = (float)(random.NextDouble() - 0.5) * 0.35f;
        }
        MachineModel[] models =
        [
            MachinePresets.TypicalDeck,
            MachinePresets.WornDeck,
            MachinePresets.HarbourReel,
            MachinePresets.TypicalDeck with
            {
                Name = "Typical, hysteresis",
                Sound = MachinePresets.TypicalDeck.Sound with { Curve = TapeCurve.Hysteresis },
            },
        ];
        foreach (var model in models)
        {
            var process = Process.GetCurrentProcess();
            var before = process.TotalProcessorTime;
            var watch = Stopwatch.StartNew();
            new SimulatedMachine(model, 1).Run(send, Rate);
            process.Refresh();
            var busy = (process.TotalProcessorTime - before).TotalSeconds / 2;
            Console.WriteLine(
                $"{model.Name, -24}{minutes * 60 / watch.Elapsed.TotalSeconds, 7:F1}{minutes * 60 / busy, 20:F1}{process.PeakWorkingSet64 / 1e6, 26:F0}"
            );
        }
    }

    private static void Figures(int seeds)
    {
        Console.WriteLine();
        Console.WriteLine(
            $"Weighted two-sigma of the true map, 60 s, {seeds} seeds: least, mean, most, in per cent; and mean speed ratio, least and most"
        );
        foreach (var model in MachinePresets.All.Concat([MachinePresets.TypicalDeck.OffTape(), MachinePresets.WornDeck.OffTape()]))
        {
            var readings = new double[seeds];
            var ratios = new double[seeds];
            for (var seed = 0; seed < seeds; seed++)
            {
                var back = new SimulatedMachine(model, (ulong)seed + 1).Run([new float[60 * 8000]], 8000);
                (readings[seed], ratios[seed]) = (Reading(back.TruthPerChannel[0]), back.SpeedRatio);
            }
            Console.WriteLine(
                $"{model.Name, -24}{model.Monitoring, -9}{model.Transport.WowFlutterPercent, 6:F3}:  {readings.Min():F4}  {readings.Average():F4}  {readings.Max():F4}   {ratios.Min():F5}  {ratios.Max():F5}"
            );
        }
    }

    private static double Reading(TimeMap truth)
    {
        const int rate = 2000;
        var from = truth.CaptureSeconds[0];
        var deviation = new double[(int)((truth.CaptureSeconds[^1] - from) * rate) - 2];
        for (var i = 0; i < deviation.Length; i++)
        {
            var capture = from + (i + 1.0) / rate;
            deviation[i] = ((truth.SourceAt(capture + 0.5 / rate) - truth.SourceAt(capture - 0.5 / rate)) * rate - 1) * 100;
        }
        return WowFlutterMeter.Read(deviation, rate).WeightedTwoSigmaPercent;
    }
}
