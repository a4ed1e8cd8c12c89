using Offtape.Passes;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Perf.Passes;

/// <summary>
/// The place of takes found with a sheet: passes of four real phrases (drum, plucked, sustained, bass) through simulated decks, brought
/// back with `fit`, against the machine's own truth. The error is that of the whole map at the source's first frame; what the take's own
/// wobble does to a straight line is allowed for by comparing the map, which follows it.
/// </summary>
internal static class PlaceTrials
{
    private static readonly RecordingKind[] Kinds =
    [
        RecordingKind.Drum,
        RecordingKind.Plucked,
        RecordingKind.Sustained,
        RecordingKind.Bass,
    ];

    internal static int Run(string[] arguments)
    {
        var count = arguments.Length > 0 ? int.Parse(arguments[0]) : 25;
        var models = new (string Name, MachineModel Model)[]
        {
            ("typical deck, rewound", MachinePresets.TypicalDeck.Rewound()),
            ("typical deck, off tape", MachinePresets.TypicalDeck.OffTape()),
            ("worn deck, rewound", MachinePresets.WornDeck.Rewound()),
        };
        Console.WriteLine($"Passes of four phrases each, {count} a machine. Errors of the map against the truth, ms.");
        Console.WriteLine("| machine | kind | takes | found | start: 99th | start: worst | whole map: rms | whole map: worst |");
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (var (name, model) in models)
        {
            var errors = Kinds.ToDictionary(k => k, _ => new List<(double Start, double Rms, double Worst)>());
            var found = Kinds.ToDictionary(k => k, _ => 0);
            for (var i = 0; i < count; i++)
            {
                using var rig = new PassRig();
                for (var k = 0; k < Kinds.Length; k++)
                    rig.AddSource(Kinds[k].ToString(), [Recordings.Phrase((ulong)(i * 4 + k + 1), Kinds[k], 5)]);
                rig.Send();
                rig.Print(new SimulatedMachine(model, (ulong)(1000 + i)));
                var result = rig.Return();
                foreach (var take in result.Sheet.Takes)
                {
                    var item = rig.Sheet!.Items.ToList().FindIndex(s => s.Source == take.Source);
                    if (!take.Found)
                    {
                        Console.Error.WriteLine($"{name} {i}: {take.Sentence}");
                        continue;
                    }
                    found[Kinds[item]]++;
                    var channel = take.CaptureChannels![0];
                    var truth = rig.Truth[rig.CapturePath("capture")].TruthPerChannel[channel];
                    var map = take.TimeMap!;
                    double sum = 0,
                        worst = 0;
                    for (var p = 0; p < map.SourceSeconds.Length; p++)
                    {
                        var error = (map.CaptureSeconds[p] - truth.CaptureAt(rig.SendSeconds(item, map.SourceSeconds[p]))) * 1e3;
                        sum += error * error;
                        worst = Math.Max(worst, Math.Abs(error));
                    }
                    var start = (take.CaptureStartSeconds!.Value - truth.CaptureAt(rig.SendSeconds(item, 0))) * 1e3;
                    if (Math.Abs(start) > 0.2)
                        Console.Error.WriteLine($"{name} {i} {take.Source}: start off by {start:0.000} ms; {take.Sentence}");
                    errors[Kinds[item]].Add((start, Math.Sqrt(sum / map.SourceSeconds.Length), worst));
                }
            }
            foreach (var kind in Kinds)
            {
                var list = errors[kind];
                var starts = list.Select(e => Math.Abs(e.Start)).Order().ToArray();
                var at99 = starts.Length == 0 ? double.NaN : starts[(int)Math.Ceiling(0.99 * starts.Length) - 1];
                Console.WriteLine(
                    $"| {name} | {kind} | {count} | {found[kind]} | {at99:0.000} | {starts.LastOrDefault():0.000} | {(list.Count == 0 ? 0 : Math.Sqrt(list.Average(e => e.Rms * e.Rms))):0.000} | {(list.Count == 0 ? 0 : list.Max(e => e.Worst)):0.000} |"
                );
            }
        }
        return 0;
    }
}
