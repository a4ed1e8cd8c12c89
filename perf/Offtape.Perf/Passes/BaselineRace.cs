using System.Diagnostics;
using System.Globalization;
using Offtape.AudioFiles;
using Offtape.Passes;
using Offtape.Testing;

namespace Offtape.Perf.Passes;

/// <summary>
/// The time map against a windowed cross-correlation tracker (tools/reference/windowed_correlation.py), on the same files: `baseline COUNT [FOLDER]`,
/// COUNT passes of each machine, in each one phrase of 8 s of every kind, kept with their truth where a folder is named. The tracker is told the capture's channel and the best straight line
/// through the truth; the program gets the files. From both the mean error of a take is taken off. Cost is processor time: of the tracker without
/// reading files, of the program for the whole return, finding, checking and writing of takes included.
/// </summary>
internal static class BaselineRace
{
    internal static int Run(string[] arguments)
    {
        var count = arguments.Length > 0 ? int.Parse(arguments[0], CultureInfo.InvariantCulture) : 2;
        var kinds = Enum.GetValues<RecordingKind>();
        var phrases = kinds.Select(k => (k, 8.0)).ToArray();
        var isKept = arguments.Length > 1;
        var folder = isKept ? arguments[1] : Path.Combine(Path.GetTempPath(), "offtape-baseline-" + Environment.ProcessId);
        var passes = new List<(string Machine, PassRig Rig, List<MappedTake> Takes)>();
        try
        {
            double ours = 0,
                sound = 0;
            var clock = new Stopwatch();
            foreach (var (name, model) in MappedPass.Machines)
            {
                for (var i = 0; i < count; i++)
                {
                    var seed = (ulong)(80_000 + i);
                    var rig = new PassRig(Path.Combine(folder, $"{passes.Count:000}"));
                    MappedPass.Prepare(rig, model, seed, phrases);
                    // The first return pays for the compiler.
                    if (passes.Count == 0)
                        rig.Return(r => r with { Retimings = [Retiming.Lock] });
                    var before = ProcessorSeconds();
                    clock.Start();
                    var sheet = rig.Return(r => r with { Retimings = [Retiming.Lock] }).Sheet;
                    clock.Stop();
                    ours += ProcessorSeconds() - before;
                    var takes = MappedPass.Compare(rig, phrases, seed, sheet);
                    sound += takes.Sum(t => t.Source.Length) / (double)Recordings.SampleRateHz;
                    WriteLines(rig, takes);
                    passes.Add((name, rig, takes));
                }
            }
            var (theirs, theirSound) = RunScript(folder);
            Print(passes, kinds);
            Console.WriteLine();
            var (cost, wait, theirCost) = (ours / sound, clock.Elapsed.TotalSeconds / sound, theirs / theirSound);
            Console.WriteLine("| a second of sound takes | processor seconds | times faster | seconds by the clock | times faster |");
            Console.WriteLine("| --- | --- | --- | --- | --- |");
            // One thread: its processor time is its time by the clock.
            Console.WriteLine($"| windowed correlation (SciPy) | {theirCost:0.0000} | | {theirCost:0.0000} | |");
            Console.WriteLine(
                $"| Offtape, whole return | {cost:0.0000} | {theirCost / cost:0.0} | {wait:0.0000} | {theirCost / wait:0.0} |"
            );
        }
        finally
        {
            if (!isKept && Directory.Exists(folder))
                Directory.Delete(folder, recursive: true);
        }
        return 0;
    }

    private static double ProcessorSeconds()
    {
        using var process = Process.GetCurrentProcess();
        return process.TotalProcessorTime.TotalSeconds;
    }

    private static void WriteLines(PassRig rig, List<MappedTake> takes)
    {
        File.Copy(rig.CapturePath("capture"), Path.Combine(rig.Folder, "capture.wav"));
        var rows = takes.Select(t =>
        {
            // The least-squares line through the truth: the map less its error.
            double n = t.Points.Length,
                meanS = t.Points.Average(p => p.SourceSeconds);
            var truth = t.Points.Select((p, i) => (p.SourceSeconds, Capture: t.Take.TimeMap!.CaptureSeconds[i] - p.ErrorSeconds)).ToArray();
            var meanC = truth.Average(p => p.Capture);
            var speed =
                truth.Sum(p => (p.SourceSeconds - meanS) * (p.Capture - meanC)) / truth.Sum(p => Math.Pow(p.SourceSeconds - meanS, 2));
            return FormattableString.Invariant($"{NameOf(t)},{t.Take.CaptureChannels![0]},{meanC - speed * meanS:R},{speed:R}");
        });
        File.WriteAllLines(Path.Combine(rig.Folder, "lines.csv"), rows);
        foreach (var take in takes)
            File.WriteAllLines(
                Path.Combine(rig.Folder, NameOf(take) + ".truth.csv"),
                take.Points.Select(
                    (p, i) =>
                        FormattableString.Invariant(
                            $"{p.SourceSeconds:R},{take.Take.TimeMap!.CaptureSeconds[i] - p.ErrorSeconds:R},{(p.IsLoud ? 1 : 0)}"
                        )
                )
            );
    }

    private static string NameOf(MappedTake take) => Path.GetFileNameWithoutExtension(take.Take.Source);

    private static (double Seconds, double Sound) RunScript(string folder)
    {
        var start = new ProcessStartInfo("/usr/bin/python3")
        {
            RedirectStandardOutput = true,
            UseShellExecute = false,
            ArgumentList = { Path.Combine(RepositoryRoot.Find(), "tools", "reference", "windowed_correlation.py"), folder },
        };
        // One thread, as its processor time is counted.
        start.Environment["OMP_NUM_THREADS"] = start.Environment["OPENBLAS_NUM_THREADS"] = "1";
        using var script = Process.Start(start)!;
        var words = script.StandardOutput.ReadToEnd().Split(' ');
        script.WaitForExit();
        if (script.ExitCode != 0)
            throw new InvalidOperationException($"The script ended with {script.ExitCode}.");
        return (double.Parse(words[0], CultureInfo.InvariantCulture), double.Parse(words[1], CultureInfo.InvariantCulture));
    }

    private static void Print(List<(string Machine, PassRig Rig, List<MappedTake> Takes)> passes, RecordingKind[] kinds)
    {
        Console.WriteLine(
            "| machine | kind | takes | correlation: median rms, µs | worst rms, µs | Offtape: median rms, µs | worst rms, µs | Offtape nearer in |"
        );
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- |");
        var all = passes.SelectMany(p =>
            p.Takes.Select(t => (p.Machine, t.Kind, Theirs: Theirs(p.Rig, t), Ours: t.Error(t.MeanError).Rms))
        );
        foreach (var group in all.ToList().GroupBy(t => (Machine: t.Machine[..t.Machine.LastIndexOf(',')], t.Kind)))
        {
            var theirs = group.Select(t => t.Theirs * 1e6).Order().ToArray();
            var ours = group.Select(t => t.Ours * 1e6).Order().ToArray();
            Console.WriteLine(
                $"| {group.Key.Machine} | {group.Key.Kind} | {ours.Length} | {theirs[theirs.Length / 2]:0.0} | {theirs[^1]:0.0} | {ours[ours.Length / 2]:0.0} | {ours[^1]:0.0} | {group.Count(t => t.Ours < t.Theirs)} |"
            );
        }
    }

    /// <summary>RMS error of the script's map where the source sounds, less its mean.</summary>
    private static double Theirs(PassRig rig, MappedTake take)
    {
        var map = File.ReadLines(Path.Combine(rig.Folder, NameOf(take) + ".map.csv"))
            .Select(line => double.Parse(line.Split(',')[1], CultureInfo.InvariantCulture))
            .ToArray();
        var errors = new List<double>();
        for (var i = 0; i < take.Points.Length; i++)
        {
            var point = take.Points[i];
            if (!point.IsLoud)
                continue;
            var at = Math.Clamp(point.SourceSeconds * 100, 0, map.Length - 1.001);
            var (k, f) = ((int)at, at - (int)at);
            errors.Add(map[k] + f * (map[k + 1] - map[k]) - (take.Take.TimeMap!.CaptureSeconds[i] - point.ErrorSeconds));
        }
        var mean = errors.Average();
        return Math.Sqrt(errors.Average(e => (e - mean) * (e - mean)));
    }
}
