using Offtape.Passes;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Perf.Passes;

/// <summary>A point of a map against the truth.</summary>
internal readonly record struct MappedPoint(double SourceSeconds, double ErrorSeconds, double SigmaSeconds, bool IsLoud);

/// <summary>A take of a simulated pass with its map's errors.</summary>
internal sealed record MappedTake(RecordingKind Kind, float[] Source, ReturnTake Take, MappedPoint[] Points)
{
    internal IEnumerable<MappedPoint> Loud => Points.Where(p => p.IsLoud);

    internal double MeanError => Loud.Average(p => p.ErrorSeconds);

    /// <summary>RMS and 99th percentile where the source sounds, less a constant.</summary>
    internal (double Rms, double At99) Error(double constantSeconds)
    {
        var errors = Loud.Select(p => Math.Abs(p.ErrorSeconds - constantSeconds)).Order().ToArray();
        return (Math.Sqrt(errors.Average(e => e * e)), errors[(int)(0.99 * (errors.Length - 1))]);
    }
}

/// <summary>Whole passes of real recordings through a simulated machine and back, for measurements of the time map.</summary>
internal static class MappedPass
{
    /// <summary>The machines that the figures are stated for, each with linear and with minimum phase, off tape and rewound.</summary>
    internal static (string Name, MachineModel Model)[] Machines { get; } =
    [
        .. from deck in new[] { ("typical", MachinePresets.TypicalDeck), ("worn", MachinePresets.WornDeck) }
        from run in new[] { ("off tape", deck.Item2.OffTape()), ("rewound", deck.Item2.Rewound()) }
        from minimum in new[] { false, true }
        select (
            $"{deck.Item1}, {run.Item1}, {(minimum ? "minimum" : "linear")} phase",
            run.Item2 with
            {
                Sound = run.Item2.Sound with { MinimumPhase = minimum },
            }
        ),
    ];

    /// <summary>Runs one pass.</summary>
    /// <param name="rig">Empty.</param>
    /// <param name="model">The machine.</param>
    /// <param name="seed">Of the machine and its phrases.</param>
    /// <param name="phrases">Kind and length of each source.</param>
    internal static List<MappedTake> Run(
        PassRig rig,
        MachineModel model,
        ulong seed,
        IReadOnlyList<(RecordingKind Kind, double Seconds)> phrases
    )
    {
        Prepare(rig, model, seed, phrases);
        return Compare(rig, phrases, seed, rig.Return(r => r with { Retimings = [Retiming.Lock] }).Sheet);
    }

    internal static void Prepare(PassRig rig, MachineModel model, ulong seed, IReadOnlyList<(RecordingKind Kind, double Seconds)> phrases)
    {
        for (var i = 0; i < phrases.Count; i++)
            rig.AddSource($"{i:00}-{phrases[i].Kind}", [Phrase(seed, i, phrases[i])]);
        rig.Send();
        rig.Print(new SimulatedMachine(model, seed));
    }

    internal static List<MappedTake> Compare(
        PassRig rig,
        IReadOnlyList<(RecordingKind Kind, double Seconds)> phrases,
        ulong seed,
        ReturnSheet sheet
    )
    {
        var takes = new List<MappedTake>();
        foreach (var take in sheet.Takes)
        {
            var item = rig.Sheet!.Items.ToList().FindIndex(s => s.Source == take.Source);
            if (!take.Found || take.TimeMap is null)
            {
                Console.Error.WriteLine($"{seed}: {take.Sentence}");
                continue;
            }
            var truth = rig.Truth[rig.CapturePath("capture")].TruthPerChannel[take.CaptureChannels![0]];
            var mapped = Measure(
                phrases[item].Kind,
                Phrase(seed, item, phrases[item]),
                take,
                x => truth.CaptureAt(rig.SendSeconds(item, x))
            );
            if (mapped.Loud.Any())
                takes.Add(mapped);
        }
        return takes;
    }

    /// <summary>The errors of a take's map.</summary>
    /// <param name="kind">What it is.</param>
    /// <param name="source">The source, one channel.</param>
    /// <param name="take">With a map.</param>
    /// <param name="trueCaptureSeconds">By source second.</param>
    internal static MappedTake Measure(RecordingKind kind, float[] source, ReturnTake take, Func<double, double> trueCaptureSeconds)
    {
        return new MappedTake(kind, source, take, Points(source, take.TimeMap!, trueCaptureSeconds));
    }

    /// <summary>Each point of a map: its error, its stated deviation, and whether the source sounds there.</summary>
    internal static MappedPoint[] Points(float[] source, ReturnTimeMap map, Func<double, double> trueCaptureSeconds)
    {
        var loud = Loud(source);
        var points = new MappedPoint[map.SourceSeconds.Length];
        for (var p = 0; p < points.Length; p++)
        {
            var s = map.SourceSeconds[p];
            var at = (int)(s / 0.01);
            points[p] = new MappedPoint(
                s,
                map.CaptureSeconds[p] - trueCaptureSeconds(s),
                map.SigmaMilliseconds[p] * 1e-3,
                at >= 0 && at < loud.Length && loud[at]
            );
        }
        return points;
    }

    /// <summary>What the machine's own filters delay the mid range by: no error of the map. Median over the takes of a pass.</summary>
    internal static double Constant(IReadOnlyList<MappedTake> takes)
    {
        var means = takes.Select(t => t.MeanError).Order().ToArray();
        return means.Length == 0 ? 0 : 0.5 * (means[(means.Length - 1) / 2] + means[means.Length / 2]);
    }

    internal static float[] Phrase(ulong seed, int index, (RecordingKind Kind, double Seconds) phrase) =>
        Recordings.Phrase(seed * 100 + (ulong)index, phrase.Kind, phrase.Seconds);

    /// <summary>Where the source's 50 ms level is within 30 dB of its loudest, every 10 ms.</summary>
    internal static bool[] Loud(float[] source)
    {
        const int hop = Recordings.SampleRateHz / 100;
        var levels = new double[source.Length / hop];
        for (var i = 0; i < levels.Length; i++)
        {
            for (var k = Math.Max(0, i * hop - 5 * hop / 2); k < Math.Min(source.Length, i * hop + 5 * hop / 2); k++)
                levels[i] += (double)source[k] * source[k];
        }
        var least = levels.Max() * 1e-3;
        return [.. levels.Select(l => l >= least)];
    }
}
