using Offtape.Bench;
using Offtape.Simulator;
using Offtape.Tape;

namespace Offtape.Perf.Bench;

/// <summary>Simulates the check signal on a machine and locates it in what comes back.</summary>
internal static class TrialRunner
{
    internal const double InterfaceDelaySeconds = 0.0044;

    /// <summary>
    /// Every preset, rewound and with a tape of another machine of its make, and off tape where a machine of its kind has a separate replay head.
    /// </summary>
    internal static IReadOnlyList<(MachineModel Model, HowTaken How)> Machines { get; } =
    [
        .. MachinePresets.All.SelectMany(m =>
            m.Kind == MachineKind.Multitrack || m.Name.StartsWith("Kitchen", StringComparison.Ordinal)
                ? new[] { (m.Rewound(), HowTaken.Rewound), (m.Rewound(), HowTaken.ForeignTape) }
                : [(m.OffTape(), HowTaken.OffTape), (m.Rewound(), HowTaken.Rewound), (m.Rewound(), HowTaken.ForeignTape)]
        ),
    ];

    // What no reading can know, drawn as the uncertainties take it: tape speed off its name (evenly within ±1.5 %), the heads' distance off what
    // is said of it (2 % expanded), and the interface's clock (50 ppm expanded) where the tone on the tape was not played by it.
    private const double SpeedShare = 0.015;
    private const double DistanceShare = 0.01;
    private const double ClockPpm = 25;

    internal static BenchTrial Run(
        MachineModel named,
        HowTaken how,
        ulong seed,
        int sampleRateHz = 48_000,
        IReadOnlyList<string>? parts = null,
        TrialMemo? memo = null
    )
    {
        var chance = new Dice(seed, "what is not known");
        var model = named with
        {
            SpeedCmPerSecond = named.SpeedCmPerSecond * (1 + SpeedShare * (2 * chance.Uniform() - 1)),
            Transport = named.Transport with { HeadDistanceMm = named.Transport.HeadDistanceMm * (1 + DistanceShare * chance.Normal()) },
        };
        var sheet = BenchSheetMaker.Make(
            new BenchSheetRequest
            {
                ChannelCount = model.TrackCount,
                SampleRateHz = sampleRateHz,
                Parts = parts ?? [],
            }
        );
        // Knots close enough that flutter of 200 Hz is whole in the true maps.
        var options = new RunOptions
        {
            InterfaceLatencySeconds = InterfaceDelaySeconds,
            TruthStepSeconds = 0.0005,
            ClockErrorPpm = how == HowTaken.ForeignTape ? ClockPpm * chance.Normal() : 0,
        };
        var back = new SimulatedMachine(model, seed).Run(BenchSignal.Render(sheet), sampleRateHz, options);
        var location = BenchLocator.Locate(back.Channels, back.SampleRateHz, how, sheet);
        var facts = new MachineFacts
        {
            Name = model.Name,
            SpeedCmPerSecond = named.SpeedCmPerSecond,
            Format = model.Kind switch
            {
                MachineKind.Reel => TrackFormats.HalfTrackStereoNab,
                MachineKind.Multitrack => TrackFormats.CassetteFourTrack,
                _ => TrackFormats.CassetteStereo,
            },
            HeadDistanceMm = how == HowTaken.OffTape ? named.Transport.HeadDistanceMm : null,
            InterfaceDelaySeconds = InterfaceDelaySeconds,
            SendStartCaptureSeconds = how == HowTaken.OffTape ? SendStart(model, seed, options) : null,
        };
        return location.Runs.Count == 1
            ? new BenchTrial(model, seed, how, sheet, options, back, location.Runs[0], facts, memo ?? new TrialMemo())
            : throw new InvalidOperationException($"{model.Name}, {how}, seed {seed}: {location.Runs.Count} runs. {location.WhyNone}");
    }

    // As if both had been started as one: the send's first frame is heard after the lead, late by the heads and the interface.
    private static double SendStart(MachineModel model, ulong seed, RunOptions options) =>
        options.LeadSeconds
        + options.LeadScatterSeconds * new Dice(seed, $"start replay {options.ReplayNumber}").Uniform()
        - model.Transport.HeadDistanceMm / 10 / model.SpeedCmPerSecond
        - InterfaceDelaySeconds;
}
