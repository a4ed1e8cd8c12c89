using Offtape.Passes;
using Offtape.Simulator;
using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Perf.Passes;

/// <summary>
/// The time map of sounds that say little: `hard COUNT [part of a case's name]`, COUNT passes of each case and machine. A source that sounds once every 32 bars,
/// one far under its neighbours' level, one that others leak into, dry leaks, overload. Errors count where the source's 50 ms level is within
/// 30 dB of its loudest; each take's mean error is taken off.
/// </summary>
internal static class HardSourceTrials
{
    private const int Rate = Recordings.SampleRateHz;

    // 32 bars of four beats at 84 BPM.
    private const double RestSeconds = 32 * 4 * 60.0 / 84;
    private const double SparseSeconds = 2 * RestSeconds + 6;
    private const double Seconds = 8;

    private sealed record Case(
        string Name,
        SendLayout Layout,
        (string Name, float[][] Sound)[] Sources,
        string Measured,
        RunOptions Options
    );

    private sealed record Outcome(
        string Case,
        string Machine,
        double Rms,
        double At99,
        double Worst,
        (double Error, double Sigma)[] Points
    );

    internal static int Run(string[] arguments)
    {
        var count = arguments.Length > 0 ? int.Parse(arguments[0]) : 3;
        var outcomes = new List<Outcome>();
        foreach (
            var (machine, model) in new[]
            {
                ("typical, off tape", MachinePresets.TypicalDeck.OffTape()),
                ("typical, rewound", MachinePresets.TypicalDeck.Rewound()),
                ("worn, rewound", MachinePresets.WornDeck.Rewound()),
            }
        )
        {
            for (var i = 0; i < count; i++)
            {
                foreach (var one in Cases((ulong)(8600 + 20 * i)))
                {
                    if (arguments.Length > 1 && !one.Name.Contains(arguments[1], StringComparison.Ordinal))
                        continue;
                    if (!double.IsNegativeInfinity(one.Options.DryLeakDb) && model.Monitoring != Monitoring.OffTape)
                        continue;
                    if (Pass(one, machine, model, (ulong)(4100 + i)) is { } outcome)
                        outcomes.Add(outcome);
                }
            }
        }
        Console.WriteLine(
            "| case | machine | takes | median rms, µs | worst rms, µs | worst 99th, µs | worst point, µs | rms of error/sigma |"
        );
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (var group in outcomes.GroupBy(o => (o.Case, o.Machine)))
        {
            var rms = group.Select(o => o.Rms).Order().ToArray();
            var ratio = Math.Sqrt(group.SelectMany(o => o.Points).Average(p => p.Error * p.Error / (p.Sigma * p.Sigma)));
            Console.WriteLine(
                $"| {group.Key.Case} | {group.Key.Machine} | {rms.Length} | {rms[rms.Length / 2]:0.0} | {rms[^1]:0.0} | {group.Max(o => o.At99):0.0} | {group.Max(o => o.Worst):0.0} | {ratio:0.00} |"
            );
        }
        return 0;
    }

    private static IEnumerable<Case> Cases(ulong seed)
    {
        float[] Phrase(int index, RecordingKind kind, double seconds = Seconds) => Recordings.Phrase(seed + (ulong)index, kind, seconds);
        float[][] Stereo(float[] left, float[] right) => [left, right];
        var cymbal = Sparse(Phrase(0, RecordingKind.Drum, 3));
        var usual = new RunOptions();
        yield return new Case("a sound every 32 bars, alone", SendLayout.Serial, [("sparse", [cymbal])], "sparse", usual);
        yield return new Case(
            "a sound every 32 bars, beside a dense track",
            SendLayout.Parallel,
            [("sparse", [cymbal]), ("dense", [Phrase(1, RecordingKind.Plucked, SparseSeconds)])],
            "sparse",
            usual
        );
        foreach (var db in new[] { -20, -30, -40 })
        {
            yield return new Case(
                $"{-db} dB under its neighbours, one after another",
                SendLayout.Serial,
                [
                    ("quiet", [Scaled(Phrase(2, RecordingKind.Plucked), db)]),
                    ("loud", [Phrase(3, RecordingKind.Sustained)]),
                    ("kit", [Phrase(4, RecordingKind.Drum)]),
                ],
                "quiet",
                usual
            );
            yield return new Case(
                $"{-db} dB under the track beside it",
                SendLayout.Parallel,
                [("quiet", [Scaled(Phrase(2, RecordingKind.Plucked), db)]), ("loud", [Phrase(4, RecordingKind.Drum)])],
                "quiet",
                usual
            );
        }
        yield return new Case(
            "stereo, two sounds",
            SendLayout.Serial,
            [("pair", Stereo(Phrase(5, RecordingKind.Plucked), Phrase(6, RecordingKind.Drum)))],
            "pair",
            usual
        );
        yield return new Case(
            "dry leak 30 dB under the tape",
            SendLayout.Serial,
            [("leaky", [Phrase(7, RecordingKind.Plucked)])],
            "leaky",
            usual with
            {
                DryLeakDb = -30,
            }
        );
        yield return new Case(
            "driven 10 dB over",
            SendLayout.Serial,
            [("driven", [Phrase(8, RecordingKind.Sustained)])],
            "driven",
            usual with
            {
                RecordGainDb = 10,
            }
        );
    }

    private static float[] Sparse(float[] sound)
    {
        var whole = new float[(int)(SparseSeconds * Rate)];
        for (var k = 0; k < 3; k++)
            sound.CopyTo(whole, (int)(k * RestSeconds * Rate) + Rate / 2);
        return whole;
    }

    private static float[] Scaled(float[] sound, double db)
    {
        var gain = (float)Math.Pow(10, db / 20);
        return Array.ConvertAll(sound, x => gain * x);
    }

    private static Outcome? Pass(Case one, string machine, MachineModel model, ulong seed)
    {
        using var rig = new PassRig();
        foreach (var (name, sound) in one.Sources)
            rig.AddSource(name, sound);
        rig.Send(r => r with { Layout = one.Layout });
        rig.Print(new SimulatedMachine(model with { Sound = model.Sound with { MinimumPhase = false } }, seed), one.Options);
        var sheet = rig.Return(r => r with { Retimings = [Retiming.Lock] }).Sheet;
        var take = sheet.Takes.Single(t => t.Source == one.Measured + ".wav");
        if (!take.Found || take.TimeMap is not { } map)
        {
            Console.Error.WriteLine($"{one.Name}, {machine}, {seed}: {take.Sentence}");
            return null;
        }
        var item = rig.Sheet!.Items.ToList().FindIndex(s => s.Source == take.Source);
        var truth = rig.Truth[rig.CapturePath("capture")].TruthPerChannel[take.CaptureChannels![0]];
        var source = one.Sources.Single(s => s.Name == one.Measured).Sound[0];
        var points = MappedPass
            .Points(source, map, s => truth.CaptureAt(rig.SendSeconds(item, s)))
            .Where(p => p.IsLoud)
            .Select(p => (Error: p.ErrorSeconds * 1e6, Sigma: p.SigmaSeconds * 1e6))
            .ToList();
        var mean = points.Average(p => p.Error);
        var centred = points.Select(p => (Error: p.Error - mean, p.Sigma)).ToArray();
        var sorted = centred.Select(p => Math.Abs(p.Error)).Order().ToArray();
        return new Outcome(
            one.Name,
            machine,
            Math.Sqrt(centred.Average(p => p.Error * p.Error)),
            sorted[(int)(0.99 * (sorted.Length - 1))],
            sorted[^1],
            centred
        );
    }
}
