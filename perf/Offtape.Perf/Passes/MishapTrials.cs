using Offtape.Passes;
using Offtape.Simulator;
using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Perf.Passes;

/// <summary>
/// What goes wrong on a pass, each many times over: whether all sounds are found all the same, and whether the mishap is named. And good
/// passes, in which nothing may be named.
/// </summary>
internal static class MishapTrials
{
    private sealed record Case(string Name, int Count, Func<int, PassRig, (MachineModel Model, RunOptions Options)> Make, string? Named);

    private static readonly RecordingKind[] Kinds =
    [
        RecordingKind.Drum,
        RecordingKind.Plucked,
        RecordingKind.Sustained,
        RecordingKind.Bass,
        RecordingKind.VoiceLike,
    ];

    private static Case[] Cases(double share)
    {
        int Of(int full) => Math.Max(2, (int)(full * share));
        return
        [
            new(
                "head slate lost to leader",
                Of(200),
                (i, rig) => (Machine(i), new RunOptions { LeaderSeconds = HeadEnd(rig) + 0.3 }),
                WarningCode.SlateMissing
            ),
            new(
                "tail slate cut off",
                Of(200),
                (i, rig) => (Machine(i), new RunOptions { TailSeconds = LastEnd(rig) + 0.5 - rig.Sheet!.LengthSeconds }),
                WarningCode.SlateMissing
            ),
            new("driven 10 dB over", Of(200), (i, _) => (Machine(i), new RunOptions { RecordGainDb = 10, CaptureGainDb = -8 }), null),
            new(
                "automatic level control",
                Of(200),
                (i, _) => (Machine(i), new RunOptions { CaptureLevelControl = new LevelControlModel() }),
                null
            ),
            new(
                "monitor left on source",
                Of(100),
                (i, _) => (Machine(i), new RunOptions { IsMonitorOnSource = true }),
                WarningCode.NotThroughTape
            ),
            new(
                "dry leak 30 dB under the tape",
                Of(100),
                (i, _) => (Machine(i).OffTape(), new RunOptions { DryLeakDb = -30 }),
                WarningCode.DryLeak
            ),
            new(
                "48 kHz sound in a 44.1 kHz file",
                Of(50),
                (i, _) => (Machine(i), new RunOptions { LabelledSampleRateHz = 44_100 }),
                WarningCode.SampleRateMixup
            ),
            new(
                "44.1 kHz sound in a 48 kHz file",
                Of(50),
                (i, _) => (Machine(i), new RunOptions { CaptureSampleRateHz = 44_100, LabelledSampleRateHz = 48_000 }),
                WarningCode.SampleRateMixup
            ),
            new("nothing wrong", Of(500), (i, _) => (Machine(i), new RunOptions { CaptureSampleRateHz = i % 5 == 4 ? 44_100 : 0 }), ""),
        ];
    }

    private static MachineModel Machine(int i) =>
        (i % 4) switch
        {
            0 => MachinePresets.TypicalDeck.Rewound(),
            1 => MachinePresets.TypicalDeck.OffTape(),
            2 => MachinePresets.WornDeck.Rewound(),
            _ => MachinePresets.HarbourReel,
        };

    private static double HeadEnd(PassRig rig) =>
        rig.Sheet!.Slates.Where(s => s.Kind == SlateKind.Head).Max(s => s.StartSeconds + s.LengthSeconds);

    private static double LastEnd(PassRig rig) => rig.Sheet!.Items.Max(i => i.StartSeconds + i.SendLengthSeconds);

    /// <summary>One line of the table.</summary>
    internal sealed record Row(
        string Name,
        int Count,
        int Found,
        int Sought,
        int? Named,
        IReadOnlyDictionary<string, int> Others,
        IReadOnlyList<string> Odd
    );

    internal static int Run(string[] arguments)
    {
        var share = arguments.Length > 0 ? double.Parse(arguments[0]) : 1;
        Console.WriteLine("| mishap | passes | sounds found | named in | other warnings |");
        Console.WriteLine("| --- | --- | --- | --- | --- |");
        foreach (var row in Measure(share, arguments.Length > 1 ? arguments[1] : ""))
        {
            var told = row.Named is { } named ? $"{named} of {row.Count}" : "";
            var others = string.Join(", ", row.Others.Select(o => $"{o.Key} {o.Value}"));
            Console.WriteLine($"| {row.Name} | {row.Count} | {row.Found} of {row.Sought} | {told} | {others} |");
            foreach (var odd in row.Odd)
                Console.Error.WriteLine(odd);
        }
        return 0;
    }

    /// <summary>Runs a share of the full counts; each trial is the same whatever the share.</summary>
    internal static IEnumerable<Row> Measure(double share, string only = "") =>
        Cases(share).Where(c => c.Name.Contains(only, StringComparison.Ordinal)).Select(Measure);

    private static Row Measure(Case each)
    {
        int found = 0,
            sought = 0,
            named = 0;
        var others = new Dictionary<string, int>();
        var odd = new List<string>();
        Parallel.For(
            0,
            each.Count,
            new ParallelOptions { MaxDegreeOfParallelism = 2 },
            i =>
            {
                using var rig = new PassRig();
                for (var k = 0; k < 3; k++)
                {
                    var kind = Kinds[(i + k) % Kinds.Length];
                    rig.AddSource($"{kind}{k}", [Recordings.Phrase((ulong)(i * 3 + k + 7777), kind, 2.5)]);
                }
                rig.Send();
                var (model, options) = each.Make(i, rig);
                rig.Print(new SimulatedMachine(model, (ulong)(50_000 + i)), options);
                var result = rig.Return();
                var codes = result
                    .Sheet.Takes.SelectMany(t => t.Warnings)
                    .Concat(result.Sheet.Warnings)
                    .Select(w => w.Code)
                    .Distinct()
                    .ToList();
                var isNamed = each.Named is { Length: > 0 } && codes.Contains(each.Named);
                lock (others)
                {
                    sought += 3;
                    found += result.Sheet.Takes.Count(t => t.Found);
                    named += isNamed ? 1 : 0;
                    foreach (var code in codes.Where(c => c != each.Named))
                        others[code] = others.GetValueOrDefault(code) + 1;
                    var missed = result.Sheet.Takes.Any(t => !t.Found) || (each.Named is { Length: > 0 } && !isNamed);
                    if (missed || (each.Named == "" && codes.Count > 0))
                        odd.Add($"{each.Name} {i} ({model.Name}): {string.Join(" ", result.Sentences)}");
                }
            }
        );
        return new Row(each.Name, each.Count, found, sought, each.Named is { Length: > 0 } ? named : null, others, odd);
    }
}
