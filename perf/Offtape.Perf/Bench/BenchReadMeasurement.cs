using System.Diagnostics;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Bench;
using Offtape.Simulator;

namespace Offtape.Perf.Bench;

/// <summary>
/// How long it takes to read a four-minute stereo capture at 48 kHz, 24 bits, report and plots included: `bench-read [RUNS] [FOLDER]`. The
/// capture is kept in the folder, where one is named; the time of making it does not count. Wanted: 6 s on two cores.
/// </summary>
internal static class BenchReadMeasurement
{
    private const int Seconds = 240;

    internal static int Run(string[] arguments)
    {
        var runs = arguments.Length > 0 ? int.Parse(arguments[0]) : 5;
        var folder = arguments.Length > 1 ? arguments[1] : Directory.CreateTempSubdirectory("offtape-bench").FullName;
        var capture = Path.Combine(folder, "capture.wav");
        if (!File.Exists(capture))
            Make(capture);
        Console.WriteLine($"{Environment.ProcessorCount} processors; {Seconds} s, stereo, 48 kHz, 24 bits");
        var seconds = new List<double>();
        // On a machine that others use, too, the time of the processors says more than the clock.
        var processorSeconds = new List<double>();
        for (var i = 0; i < runs; i++)
        {
            var clock = Stopwatch.StartNew();
            var before = Environment.CpuUsage.TotalTime;
            var stages = new SortedDictionary<string, double>(StringComparer.Ordinal);
            var request = new BenchReadRequest
            {
                Captures = [capture],
                How = HowTaken.Rewound,
                TargetFolder = Path.Combine(folder, "report"),
                Facts = new MachineFacts { Name = "Typical deck", SpeedCmPerSecond = 4.7625 },
                Force = true,
            };
            var progress = JobProgress.To(state =>
            {
                lock (stages)
                    stages.TryAdd(state.Words, clock.Elapsed.TotalSeconds);
            });
            var result = BenchReadJob.Run(request, progress, CancellationToken.None);
            seconds.Add(clock.Elapsed.TotalSeconds);
            processorSeconds.Add((Environment.CpuUsage.TotalTime - before).TotalSeconds);
            if (i == runs - 1)
            {
                foreach (var (words, at) in stages.OrderBy(s => s.Value))
                    Console.WriteLine($"  {at:0.00} s: {words}");
                Console.WriteLine(
                    $"  {result.Report.Readings.Count(r => r.Value is not null)} readings of {result.Report.Readings.Count}, "
                        + $"{result.Report.Curves.Count} curves, {result.Files.Count} files, {result.ExitCode}"
                );
            }
        }
        Console.WriteLine(
            $"first {seconds[0]:0.00} s, best {seconds.Min():0.00} s, median {seconds.Order().ElementAt(runs / 2):0.00} s (wanted: 6 s); "
                + $"processors together {processorSeconds[0]:0.00}, {processorSeconds.Min():0.00}, {processorSeconds.Order().ElementAt(runs / 2):0.00} s"
        );
        return 0;
    }

    private static void Make(string path)
    {
        var sheet = BenchSheetMaker.Make(new BenchSheetRequest());
        var options = new RunOptions { LeadSeconds = 20, TailSeconds = Seconds - 20 - sheet.LengthSeconds };
        var back = new SimulatedMachine(MachinePresets.TypicalDeck, 1).Run(BenchSignal.Render(sheet), sheet.SampleRateHz, options);
        using var writer = AudioWriter.Create(path, new AudioFormat(sheet.SampleRateHz, back.Channels.Length, SampleEncoding.Pcm24));
        var interleaved = new float[back.Channels.Length * Math.Min(back.Channels[0].Length, Seconds * sheet.SampleRateHz)];
        for (var i = 0; i < interleaved.Length; i++)
            interleaved[i] = back.Channels[i % back.Channels.Length][i / back.Channels.Length];
        writer.Write(interleaved);
        writer.Complete();
    }
}
