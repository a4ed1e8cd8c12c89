using System.Collections.Concurrent;
using Offtape.Base;
using Offtape.Passes;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Perf.Passes;

/// <summary>
/// Finding by sound alone: a real recording (or a phrase of real hits) through a simulated machine at 20 to 60 dB S/N and up to ±4 % of
/// speed, looked for without a sheet. In some the source is absent and its near twin was printed instead (the soft or hard hit of the same
/// drum); in others something unrelated was captured, or nothing.
/// </summary>
internal static class FindTrials
{
    internal enum What
    {
        Present,
        PresentOnWornDeck,
        Twin,
        Stranger,
        Silent,
    }

    internal sealed record Outcome(What What, string Text, bool IsClaimed, bool IsRight, double ErrorMs);

    /// <summary>`finding SHARE [WHAT [SEED,SEED…]]`.</summary>
    internal static int Run(string[] arguments)
    {
        var share = arguments.Length > 0 ? double.Parse(arguments[0]) : 1;
        What? only = arguments.Length > 1 ? Enum.Parse<What>(arguments[1]) : null;
        var seeds = arguments.Length > 2 ? arguments[2].Split(',').Select(int.Parse).ToHashSet() : null;
        var outcomes = Measure(share, only, seeds);
        Console.WriteLine("| what was captured | captures | claimed | right place | start error 99th, ms | worst, ms |");
        Console.WriteLine("| --- | --- | --- | --- | --- | --- |");
        foreach (var group in outcomes.GroupBy(o => o.What).OrderBy(g => g.Key))
        {
            var errors = group.Where(o => o.IsRight).Select(o => Math.Abs(o.ErrorMs)).Order().ToArray();
            var at99 = errors.Length == 0 ? "" : $"{errors[(int)Math.Ceiling(0.99 * errors.Length) - 1]:0.000}";
            Console.WriteLine(
                $"| {group.Key} | {group.Count()} | {group.Count(o => o.IsClaimed)} | {group.Count(o => o.IsRight)} | {at99} | {(errors.Length == 0 ? "" : $"{errors[^1]:0.000}")} |"
            );
        }
        foreach (var odd in outcomes.Where(o => o.What is What.Present or What.PresentOnWornDeck ? !o.IsRight : o.IsClaimed))
            Console.Error.WriteLine($"{odd.What}: {odd.Text} (error {odd.ErrorMs:0.000} ms)");
        return 0;
    }

    /// <summary>Runs a share of the full counts; each trial is the same whatever the share.</summary>
    internal static IReadOnlyCollection<Outcome> Measure(double share, What? only = null, IReadOnlySet<int>? seeds = null)
    {
        var (present, worn, twins, strangers, silent) = (
            (int)(1700 * share),
            (int)(200 * share),
            (int)(300 * share),
            (int)(270 * share),
            (int)(30 * share)
        );
        var jobs = new List<(What What, int Seed)>();
        jobs.AddRange(Enumerable.Range(0, present).Select(i => (What.Present, i)));
        jobs.AddRange(Enumerable.Range(0, worn).Select(i => (What.PresentOnWornDeck, i)));
        jobs.AddRange(Enumerable.Range(0, twins).Select(i => (What.Twin, i)));
        jobs.AddRange(Enumerable.Range(0, strangers).Select(i => (What.Stranger, i)));
        jobs.AddRange(Enumerable.Range(0, silent).Select(i => (What.Silent, i)));
        var outcomes = new ConcurrentBag<Outcome>();
        jobs.RemoveAll(j => only is { } what && j.What != what || seeds?.Contains(j.Seed) == false);
        Parallel.ForEach(jobs, new ParallelOptions { MaxDegreeOfParallelism = 2 }, job => outcomes.Add(Try(job.What, job.Seed)));
        return outcomes;
    }

    private static Outcome Try(What what, int seed)
    {
        var random = new SplitMix64((ulong)(seed * 4 + (int)what + 1));
        using var rig = new PassRig();
        var (sought, printed, name) = Choose(what, seed, random);
        rig.AddSource("sought", sought);
        var signalToNoiseDb = 20 + 40 * random.Unit();
        var worn = what == What.PresentOnWornDeck || (what != What.Present && random.Unit() < 0.4);
        var model = worn ? MachinePresets.WornDeck.Rewound() : MachinePresets.TypicalDeck.Rewound();
        model = model with
        {
            Noise = model.Noise with { SignalToNoiseDb = signalToNoiseDb },
            Transport = model.Transport with { RunToRunSpeedPercent = 0 },
        };
        var options = new RunOptions
        {
            ReplaySpeedRatio = 0.96 + 0.08 * random.Unit(),
            LeadSeconds = 0.5 + 3 * random.Unit(),
            TailSeconds = 1.5,
            IsPolarityInverted = random.Unit() < 0.3,
        };
        var machine = new SimulatedMachine(model, (ulong)(90_000 + seed * 4 + (int)what));
        var truth = rig.Print(machine, printed, 48_000, options, "capture");
        var result = rig.Return(r => r with { Passes = [], Sources = rig.Sources, Retimings = [Retiming.Fit] });
        var take = result.Sheet.Takes[0];
        var error = take.Found
            ? (take.CaptureStartSeconds!.Value - truth.TruthPerChannel[take.CaptureChannels![0]].CaptureAt(0)) * 1e3
            : double.NaN;
        var text =
            $"{name}, seed {seed}, {signalToNoiseDb:0} dB, {(worn ? "worn" : "typical")}, ratio {options.ReplaySpeedRatio:0.000}: {take.Sentence}";
        return new Outcome(what, text, take.Found, take.Found && Math.Abs(error) < 10, error);
    }

    private static (float[][] Sought, float[][] Printed, string Name) Choose(What what, int seed, SplitMix64 random)
    {
        switch (what)
        {
            case What.Twin:
                var twins = Recordings.NearTwins[seed % Recordings.NearTwins.Count];
                var isFirst = random.Unit() < 0.5;
                return (
                    Loud(Recordings.Load(isFirst ? twins.First : twins.Second)),
                    Loud(Recordings.Load(isFirst ? twins.Second : twins.First)),
                    $"{twins.First} / {twins.Second}"
                );
            case What.Stranger:
                var sought = Recordings.All[random.Below(Recordings.All.Count)];
                var stranger = Recordings.Strangers[seed % Recordings.Strangers.Count];
                return (Loud(Recordings.Load(sought.Name)), Loud(Recordings.Load(stranger.Name)), $"{sought.Name} in {stranger.Name}");
            case What.Silent:
                var any = Recordings.All[random.Below(Recordings.All.Count)];
                return (Loud(Recordings.Load(any.Name)), [new float[96_000]], any.Name);
            default:
                if (random.Unit() < 0.25)
                {
                    var kind = (RecordingKind)random.Below(5);
                    float[][] phrase = [Recordings.Phrase((ulong)seed + 31, kind, 2 + 5 * random.Unit())];
                    return (phrase, phrase, $"phrase {kind}");
                }
                var one = Recordings.All[seed % Recordings.All.Count];
                var audio = Loud(Recordings.Load(one.Name));
                return (audio, audio, one.Name);
        }
    }

    /// <summary>At most eight seconds, peak at −6 dBFS, on two channels as a deck has them.</summary>
    private static float[][] Loud(float[][] channels)
    {
        var length = Math.Min(channels[0].Length, 8 * 48_000);
        var peak = channels.Max(c => c.Take(length).Max(Math.Abs)) + 1e-9f;
        var gain = (float)Conversions.DbToAmplitude(-6) / peak;
        return [.. channels.Take(2).Select(c => c.Take(length).Select(v => v * gain).ToArray())];
    }
}
