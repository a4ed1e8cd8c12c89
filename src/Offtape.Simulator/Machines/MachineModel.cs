namespace Offtape.Simulator;

/// <summary>The three kinds of machine that behave differently.</summary>
public enum MachineKind
{
    Reel,
    Cassette,
    Multitrack,
}

/// <summary>How the return is taken from the machine.</summary>
public enum Monitoring
{
    /// <summary>Recorded, rewound, replayed: a second run of the tape.</summary>
    Rewound,

    /// <summary>Heard from a replay head behind the record head while the send plays: one run, late by the distance of the heads.</summary>
    OffTape,
}

/// <summary>
/// A simulated machine: all that it does to time, sound and noise. Immutable; change it by <c>with</c>. A model says what the machine is;
/// what happens in one run is in <see cref="RunOptions"/>, and what chance drew is in <see cref="SimulatedReturn"/>.
/// </summary>
/// <remarks>
/// Levels: "operating level" is a sine that stands at <see cref="SendOperatingLevelDbfs"/> (peak) in the send, and comes back at
/// <see cref="CaptureOperatingLevelDbfs"/> (peak) in the capture. Noise, hum, crosstalk and overload are stated against it.
/// </remarks>
public sealed record MachineModel
{
    public required string Name { get; init; }

    public MachineKind Kind { get; init; } = MachineKind.Cassette;

    public Monitoring Monitoring { get; init; } = Monitoring.Rewound;

    public int TrackCount { get; init; } = 2;

    public double SpeedCmPerSecond { get; init; } = 4.7625;

    public double SendOperatingLevelDbfs { get; init; } = -12;

    public double CaptureOperatingLevelDbfs { get; init; } = -12;

    public TransportModel Transport { get; init; } = new();

    public SoundModel Sound { get; init; } = new();

    public NoiseModel Noise { get; init; } = new();

    public TrackModel Tracks { get; init; } = new();

    public DropoutModel Dropouts { get; init; } = new();

    /// <summary>The machine sets its own record level; null when a hand does.</summary>
    public LevelControlModel? RecordLevelControl { get; init; }
}
