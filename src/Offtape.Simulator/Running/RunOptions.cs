namespace Offtape.Simulator;

/// <summary>
/// What happens in one print, whatever the machine: how it is started and stopped, and every mishap. Times at the record side are send
/// seconds (0 is the send's first frame), times at the replay side are capture seconds at nominal speed.
/// </summary>
public sealed record RunOptions
{
    /// <summary>
    /// Capture seconds from the capture's first frame to where the send's first frame is heard (its last, when reversed), at nominal speed;
    /// negative when the capture was begun late.
    /// </summary>
    public double LeadSeconds { get; init; } = 3;

    /// <summary>A draw from 0 to this is added to the lead, so that no two runs begin alike.</summary>
    public double LeadScatterSeconds { get; init; } = 0.9;

    /// <summary>Capture seconds after the end of the send; negative when the capture was stopped too early.</summary>
    public double TailSeconds { get; init; } = 3;

    /// <summary>Speed of the replay run against that of the record run, apart from what the model does; 2 is an octave up. Not off tape.</summary>
    public double ReplaySpeedRatio { get; init; } = 1;

    /// <summary>The tape is replayed backwards. Not off tape.</summary>
    public bool IsReversed { get; init; }

    /// <summary>Rate of the capture in Hz; 0 is that of the send.</summary>
    public int CaptureSampleRateHz { get; init; }

    /// <summary>The rate the capture claims to have, where that is wrong; 0 for the true one. The true maps are in the time so claimed.</summary>
    public int LabelledSampleRateHz { get; init; }

    /// <summary>How much the recorder's clock runs fast against the player's, in parts per million.</summary>
    public double ClockErrorPpm { get; init; }

    /// <summary>Which replay of the same recording this is: replays differ in their wobble, start and noise, and share what is on the tape.</summary>
    public int ReplayNumber { get; init; } = 1;

    /// <summary>Which tracks are captured, counted from 0, in the order of the capture's channels; null is all of them.</summary>
    public IReadOnlyList<int>? CaptureTracks { get; init; }

    /// <summary>Gain in front of the record amplifier, in dB: 10 drives everything 10 dB over.</summary>
    public double RecordGainDb { get; init; }

    /// <summary>Gain in front of the capture's converter, in dB.</summary>
    public double CaptureGainDb { get; init; }

    /// <summary>The first part of the send that falls on leader tape and is lost, in send seconds; 0 for none.</summary>
    public double LeaderSeconds { get; init; }

    /// <summary>The moment of the send at which the tape runs out; ∞ when it lasts.</summary>
    public double TapeEndsSeconds { get; init; } = double.PositiveInfinity;

    /// <summary>Stops of the tape while recording, in send seconds. What is sent meanwhile is lost; off tape the replay stops with it.</summary>
    public IReadOnlyList<TapeStop> RecordStops { get; init; } = [];

    /// <summary>Stops of the tape while replaying, in capture seconds. Not off tape.</summary>
    public IReadOnlyList<TapeStop> ReplayStops { get; init; } = [];

    /// <summary>A hand on the pitch control while recording, in send seconds.</summary>
    public IReadOnlyList<RidePoint> RecordRide { get; init; } = [];

    /// <summary>A hand on the pitch control while replaying, in capture seconds. Not off tape.</summary>
    public IReadOnlyList<RidePoint> ReplayRide { get; init; } = [];

    /// <summary>The monitor was left on source: the send comes back through the interface alone, late by its latency.</summary>
    public bool IsMonitorOnSource { get; init; }

    /// <summary>How late the interface alone is, in seconds.</summary>
    public double InterfaceLatencySeconds { get; init; } = 0.0044;

    /// <summary>Level of the send that leaks into the capture past the tape, in dB against the sound from tape; −∞ for none. Off tape only.</summary>
    public double DryLeakDb { get; init; } = double.NegativeInfinity;

    /// <summary>The capture's recorder rides its level by itself.</summary>
    public LevelControlModel? CaptureLevelControl { get; init; }

    public bool IsPolarityInverted { get; init; }

    /// <summary>The capture's channels stand in the opposite order.</summary>
    public bool AreChannelsSwapped { get; init; }

    /// <summary>Added to every captured sample; full scale is 1.</summary>
    public double DcOffset { get; init; }

    /// <summary>Clicks in the capture, as of a dirty switch or a bad clock, on each channel.</summary>
    public double ClicksPerMinute { get; init; }

    /// <summary>The converter clips at full scale. False keeps overs, as a float recorder does.</summary>
    public bool ClipsAtFullScale { get; init; } = true;

    /// <summary>Spacing of the knots of the true time maps, in send seconds.</summary>
    public double TruthStepSeconds { get; init; } = 0.002;
}

/// <summary>The tape slows down, stands and starts again.</summary>
/// <param name="AtSeconds">When it begins to slow down.</param>
/// <param name="HoldSeconds">How long it stands.</param>
/// <param name="SlowDownSeconds">How long it takes to stop.</param>
/// <param name="SpeedUpSeconds">How long it takes to reach its speed again.</param>
public sealed record TapeStop(double AtSeconds, double HoldSeconds, double SlowDownSeconds = 0.15, double SpeedUpSeconds = 0.3);

/// <summary>A point of a ride: speed against what it would be, reached at a moment, joined to its neighbours by smooth bends and held beyond the ends.</summary>
public sealed record RidePoint(double Seconds, double SpeedRatio);

/// <summary>
/// A recorder that sets its level by itself: a peak detector with a quick attack and a slow release holds peaks at the target, turning quiet
/// sound up by no more than the largest gain. The defaults are in common use in portable recorders; no standard fixes them.
/// </summary>
/// <param name="TargetDb">Peak that is held, in dB against operating level.</param>
/// <param name="LargestGainDb">How far quiet sound is turned up.</param>
/// <param name="AttackSeconds">Time constant when the level rises.</param>
/// <param name="ReleaseSeconds">Time constant when it falls.</param>
public sealed record LevelControlModel(
    double TargetDb = 3,
    double LargestGainDb = 18,
    double AttackSeconds = 0.01,
    double ReleaseSeconds = 2
);
