using System.Diagnostics;
using Offtape.Base;
using Offtape.Passes;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Perf.Passes;

/// <summary>
/// How long a long return takes, and how much memory. `long-make DIR MINUTES [SOURCES]` makes the pass (twelve stereo sources, if not another
/// number, filling five sixths of the time) and its simulated capture; `long-return DIR sheet|sound [Lock,Steady,Fit]` brings it back in a process of its own and tells its peak memory.
/// </summary>
internal static class LongReturn
{
    internal static int Make(string[] arguments)
    {
        var minutes = double.Parse(arguments[1]);
        var rig = new PassRig(arguments[0]);
        var count = arguments.Length > 2 ? int.Parse(arguments[2]) : 12;
        var seconds = minutes * 60 * 25 / 30 / count;
        var kinds = Enum.GetValues<RecordingKind>();
        for (var i = 0; i < count; i++)
        {
            var (left, right) = (
                Recordings.Phrase((ulong)(500 + i), kinds[i % kinds.Length], seconds),
                Recordings.Phrase((ulong)(700 + i), kinds[(i + 1) % kinds.Length], seconds)
            );
            rig.AddSource($"sound {i + 1:00}", [left, right], 48_000, Offtape.AudioFiles.SampleEncoding.Pcm24);
        }
        var gap = (minutes * 60 - count * seconds - 20) / (count - 1);
        rig.Send(s => s with { GapSeconds = Math.Max(2, gap) });
        rig.Print(new SimulatedMachine(MachinePresets.TypicalDeck.Rewound(), 1));
        // The folder stays, and the rig is not disposed: the measurement is another process.
        Directory.Move(arguments[0], arguments[0] + ".keep");
        return 0;
    }

    internal static int Return(string[] arguments)
    {
        var folder = arguments[0] + ".keep";
        var bySound = arguments[1] == "sound";
        var target = Path.Combine(folder, "takes-" + arguments[1]);
        var sources = Directory.GetFiles(Path.Combine(folder, "sources")).Order().ToArray();
        var clock = Stopwatch.StartNew();
        var stages = new List<(string Stage, double Seconds, double Processor)>();
        void Note(string stage)
        {
            lock (stages)
            {
                if (stages.Count == 0 || stages[^1].Stage != stage)
                    stages.Add((stage, clock.Elapsed.TotalSeconds, Process.GetCurrentProcess().TotalProcessorTime.TotalSeconds));
            }
        }
        var result = ReturnJob.Run(
            new ReturnRequest
            {
                Captures = [Path.Combine(folder, "captures", "capture.wav")],
                Passes = bySound ? [] : [Path.Combine(folder, "pass")],
                Sources = bySound ? sources : [],
                TargetFolder = target,
                Retimings = arguments.Length > 2 ? [.. arguments[2].Split(',').Select(Enum.Parse<Retiming>)] : [Retiming.Fit],
                Force = true,
            },
            JobProgress.To(state => Note(state.Stage)),
            default
        );
        var seconds = clock.Elapsed.TotalSeconds;
        var peak = File.ReadLines("/proc/self/status").First(l => l.StartsWith("VmHWM", StringComparison.Ordinal));
        Console.WriteLine(
            $"{arguments[1]}: {result.Sheet.Captures[0].LengthSeconds / 60:0.0} min capture, {result.Sheet.Takes.Count(t => t.Found)} of {result.Sheet.Takes.Count} found, {seconds:0.0} s, peak memory {peak[6..].Trim()}"
        );
        Console.WriteLine(string.Join(", ", stages.Select(s => $"{s.Stage} from {s.Seconds:0.0} s ({s.Processor:0.0} s of processor)")));
        return 0;
    }
}
