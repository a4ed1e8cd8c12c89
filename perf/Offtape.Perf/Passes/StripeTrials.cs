using Offtape.Passes;
using Offtape.Simulator;
using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Perf.Passes;

/// <summary>
/// The stripe against the simulated machine's truth: `stripe COUNT [part of a row's name]…`, COUNT passes a row. Each pass holds one phrase
/// of several kinds of real recording; on a four-track machine three at once beside the stripe, on a deck one after another on the other channel.
/// </summary>
public static class StripeTrials
{
    /// <summary>
    /// 600 µrad over the mean pitch of the four tracks of a cassette (3.06 mm ÷ 3) at 9.525 cm/s: 1.02 mm × 600·10⁻⁶ ÷ 95.25 mm/s. Taken as
    /// RMS, the harder reading.
    /// </summary>
    public const double FourTrackWanderMicroseconds = 6.43;

    /// <summary>The same over 0.9 mm (the two tracks of a cassette's side) at 4.7625 cm/s.</summary>
    public const double DeckWanderMicroseconds = 11.34;

    private static readonly DropoutModel Dropouts = new()
    {
        PerMinute = 8,
        ShortestMilliseconds = 100,
        LongestMilliseconds = 100,
        ShallowestDb = 60,
        DeepestDb = 60,
    };

    public sealed record Row(string Name, MachineModel Model, RunOptions Options);

    /// <summary>One pass. Times in microseconds; ratios are of errors to their stated sigma, RMS.</summary>
    public sealed record Outcome(
        string Name,
        double StripeRms,
        double StripeWorst,
        double StripeRatio,
        double DropoutRms,
        double DropoutRatio,
        IReadOnlyList<TakeOutcome> Takes
    );

    public sealed record TakeOutcome(
        string Source,
        double RmsAlone,
        double Rms,
        double Ratio,
        double WanderTold,
        double WanderTrue,
        double WanderSigma,
        double DelayError,
        double? BleedDb,
        double? BleedLeftDb
    );

    public static IReadOnlyList<Row> Rows { get; } = [.. AllRows()];

    internal static int Run(string[] arguments)
    {
        var count = arguments.Length > 0 ? int.Parse(arguments[0]) : 3;
        var wanted = arguments.Skip(1).ToArray();
        Console.WriteLine(
            "| machine | passes | stripe: median rms, µs | worst rms, µs | worst point, µs | error/sigma | in dropouts: rms, µs | error/sigma | takes: rms by sound alone, µs | with the stripe, µs | worst, µs | error/sigma | wander true, µs | told, µs | its sigma, µs | bleed, dB | left, dB |"
        );
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (var row in Rows.Where(r => wanted.All(w => r.Name.Contains(w, StringComparison.Ordinal))))
        {
            var outcomes = Enumerable.Range(0, count).Select(i => Pass(row, i)).ToList();
            var stripe = outcomes.Select(o => o.StripeRms).Order().ToArray();
            var takes = outcomes.SelectMany(o => o.Takes).ToList();
            foreach (var take in takes.Where(_ => Environment.GetEnvironmentVariable("STRIPETAKES") is not null))
                Console.Error.WriteLine($"{row.Name}: {take}");
            var dropouts = outcomes.Where(o => !double.IsNaN(o.DropoutRms)).ToList();
            Console.WriteLine(
                $"| {row.Name} | {count} | {stripe[stripe.Length / 2]:0.00} | {stripe[^1]:0.00} | {outcomes.Max(o => o.StripeWorst):0.0} | {Rms(outcomes.Select(o => o.StripeRatio)):0.00} | "
                    + (
                        dropouts.Count == 0
                            ? "– | – | "
                            : $"{Rms(dropouts.Select(o => o.DropoutRms)):0.0} | {Rms(dropouts.Select(o => o.DropoutRatio)):0.00} | "
                    )
                    + $"{Rms(takes.Select(t => t.RmsAlone)):0.0} | {Rms(takes.Select(t => t.Rms)):0.0} | {takes.Max(t => t.Rms):0.0} | {Rms(takes.Select(t => t.Ratio)):0.00} | "
                    + $"{Rms(takes.Select(t => t.WanderTrue)):0.0} | {Rms(takes.Select(t => t.WanderTold)):0.0} | {Rms(takes.Select(t => t.WanderSigma)):0.00} | "
                    + $"{takes.Max(t => t.BleedDb):0.0} | {takes.Max(t => t.BleedLeftDb):0.0} |"
            );
        }
        return 0;
    }

    /// <summary>Runs one pass of a row.</summary>
    /// <param name="row">Which.</param>
    /// <param name="index">Chooses sounds and chance.</param>
    /// <param name="seconds">Length of each sound.</param>
    public static Outcome Pass(Row row, int index, double? seconds = null)
    {
        using var rig = new PassRig();
        var kinds = Enum.GetValues<RecordingKind>();
        var isFour = row.Model.TrackCount == 4;
        var count = isFour ? 3 : kinds.Length;
        var names = new string[count];
        var phrases = new float[count][];
        for (var k = 0; k < count; k++)
        {
            var kind = kinds[(index * count + k) % kinds.Length];
            names[k] = $"{kind}-{k}";
            phrases[k] = Recordings.Phrase((ulong)(9000 + index * kinds.Length + k), kind, seconds ?? (isFour ? 16 : 8));
            rig.AddSource(names[k], [phrases[k]]);
        }
        rig.Send(r => r with { Layout = isFour ? SendLayout.Parallel : SendLayout.Serial, StripeTrack = isFour ? 4 : 2 });
        var printed = rig.Print(new SimulatedMachine(row.Model, (ulong)(5000 + index)), row.Options);
        var result = rig.Return(r => r with { Retimings = [Retiming.Lock] });
        var told = result.Sheet.Passes.Single().Stripe ?? throw new InvalidOperationException($"{row.Name} {index}: no stripe found");
        var channel = rig.Sheet!.Stripe!.Track - 1;
        if (told.CaptureChannel != channel)
            throw new InvalidOperationException($"{row.Name} {index}: the stripe is on channel {told.CaptureChannel}");
        var truth = printed.TruthPerChannel[channel];
        var errors = Centred(told.SendSeconds, s => truth.CaptureAt(s), told.CaptureSeconds);
        var inDropout = told
            .SendSeconds.Select(s =>
                printed.Dropouts.Any(d => d.Channel == channel && Math.Abs(d.SendSeconds - s) < d.LengthMilliseconds * 1.5e-3)
            )
            .ToArray();
        var ratios = errors.Zip(told.SigmaMilliseconds, (e, s) => e / (s * 1e3)).ToArray();
        var takes = Takes(rig, result, AloneMaps(rig), names, phrases, truth);
        return new Outcome(
            row.Name,
            Rms(errors),
            errors.Max(Math.Abs),
            Rms(ratios),
            Rms(errors.Where((_, i) => inDropout[i])),
            Rms(ratios.Where((_, i) => inDropout[i])),
            takes
        );
    }

    // The same return, but with a sheet that knows of no stripe.
    private static ReturnResult AloneMaps(PassRig rig)
    {
        var folder = Path.Combine(rig.Folder, "unstriped");
        Directory.CreateDirectory(folder);
        (rig.Sheet! with { Stripe = null }).Save(Path.Combine(folder, PassSheet.FileName), replace: true);
        return rig.Return(r => r with { Retimings = [Retiming.Lock], Passes = [folder], TargetFolder = Path.Combine(rig.Folder, "alone") });
    }

    private static List<TakeOutcome> Takes(
        PassRig rig,
        ReturnResult result,
        ReturnResult alone,
        string[] names,
        float[][] phrases,
        TimeMap stripe
    )
    {
        var outcomes = new List<TakeOutcome>();
        for (var k = 0; k < names.Length; k++)
        {
            var take = result.Sheet.Takes.Single(t => t.Source == names[k] + ".wav");
            var other = alone.Sheet.Takes.Single(t => t.Source == names[k] + ".wav");
            if (!take.Found || !other.Found)
            {
                Console.Error.WriteLine($"{take.Sentence} {other.Sentence}");
                continue;
            }
            var item = k;
            var track = rig.Truth[rig.CapturePath("capture")].TruthPerChannel[rig.Sheet!.Items[k].Tracks[0] - 1];
            double True(double s) => track.CaptureAt(rig.SendSeconds(item, s));
            double Between(double s) => (True(s) - stripe.CaptureAt(rig.SendSeconds(item, s))) * 1e6;
            var loud = MappedPass.Loud(phrases[k]);
            var (map, own) = (take.TimeMap!, other.TimeMap!);
            var sounding = Enumerable.Range(0, map.SourceSeconds.Length).Where(p => IsLoud(loud, map.SourceSeconds[p])).ToArray();
            var at = sounding.Select(p => map.SourceSeconds[p]).ToArray();
            var errors = Centred(at, True, [.. sounding.Select(p => map.CaptureSeconds[p])]);
            var ownSounding = Enumerable.Range(0, own.SourceSeconds.Length).Where(p => IsLoud(loud, own.SourceSeconds[p])).ToArray();
            var ownErrors = Centred(
                [.. ownSounding.Select(p => own.SourceSeconds[p])],
                True,
                [.. ownSounding.Select(p => own.CaptureSeconds[p])]
            );
            var between = map.SourceSeconds.Select(Between).ToArray();
            var mean = between.Average();
            outcomes.Add(
                new TakeOutcome(
                    names[k],
                    Rms(ownErrors),
                    Rms(errors),
                    Rms(errors.Select((e, i) => e / (map.SigmaMilliseconds[sounding[i]] * 1e3))),
                    take.StripeWanderMicroseconds ?? double.NaN,
                    Rms(between.Select(b => b - mean)),
                    take.StripeWanderSigmaMicroseconds ?? double.NaN,
                    (take.StripeDelayMicroseconds ?? double.NaN) - mean,
                    take.StripeBleedDb,
                    take.StripeBleedLeftDb
                )
            );
        }
        return outcomes;
    }

    private static bool IsLoud(bool[] loud, double seconds)
    {
        var at = (int)(seconds / 0.01);
        return at >= 0 && at < loud.Length && loud[at];
    }

    /// <summary>Errors in microseconds less their mean: the machine's phase is one constant delay.</summary>
    private static double[] Centred(double[] seconds, Func<double, double> truth, double[] found)
    {
        var errors = seconds.Zip(found, (s, c) => (c - truth(s)) * 1e6).ToArray();
        var mean = errors.Average();
        return [.. errors.Select(e => e - mean)];
    }

    private static double Rms(IEnumerable<double> values)
    {
        double sum = 0;
        var count = 0;
        foreach (var value in values.Where(v => !double.IsNaN(v)))
            (sum, count) = (sum + value * value, count + 1);
        return Math.Sqrt(sum / count);
    }

    private static IEnumerable<Row> AllRows()
    {
        MachineModel WithWander(MachineModel model, double microseconds) =>
            model with
            {
                Tracks = model.Tracks with { DelayWanderMicroseconds = microseconds },
            };
        MachineModel WithDropouts(MachineModel model, double replayRatio = 1) =>
            model with
            {
                // 100 ms as heard, whatever the speed.
                Dropouts = Dropouts with
                {
                    ShortestMilliseconds = 100 * replayRatio,
                    LongestMilliseconds = 100 * replayRatio,
                },
            };
        var plain = new RunOptions();
        var (four, worn) = (MachinePresets.AtticFourTrack, MachinePresets.AtticFourTrackWorn);
        yield return new Row("four-track", four, plain);
        yield return new Row("four-track, 600 µrad", WithWander(four, FourTrackWanderMicroseconds), plain);
        yield return new Row("four-track, 600 µrad, dropouts", WithDropouts(WithWander(four, FourTrackWanderMicroseconds)), plain);
        yield return new Row("four-track, half speed, dropouts", WithDropouts(four, 0.5), plain with { ReplaySpeedRatio = 0.5 });
        yield return new Row("four-track, double speed, backwards", four, plain with { ReplaySpeedRatio = 2, IsReversed = true });
        yield return new Row("four-track worn", worn, plain);
        yield return new Row("four-track worn, 600 µrad, dropouts", WithDropouts(WithWander(worn, FourTrackWanderMicroseconds)), plain);
        yield return new Row("typical deck off tape, dropouts", WithDropouts(MachinePresets.TypicalDeck.OffTape()), plain);
        yield return new Row("typical deck rewound", MachinePresets.TypicalDeck.Rewound(), plain);
        yield return new Row(
            "typical deck rewound, 600 µrad, dropouts",
            WithDropouts(WithWander(MachinePresets.TypicalDeck.Rewound(), DeckWanderMicroseconds)),
            plain
        );
    }
}
