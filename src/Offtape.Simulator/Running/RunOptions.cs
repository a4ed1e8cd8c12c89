namespace Offtape.Simulator;

/// <summary>What happens in one run, whatever the machine.</summary>
public sealed record RunOptions
{
    /// <summary>
    /// Capture seconds from the capture's first frame to where the send's first frame is heard, at nominal speed; negative when the capture
    /// was begun late. Hand-started runs scatter: see <see cref="LeadScatterSeconds"/>.
    /// </summary>
    public double LeadSeconds { get; init; } = 3;

    /// <summary>A draw from 0 to this is added to the lead, so that no two runs begin alike.</summary>
    public double LeadScatterSeconds { get; init; } = 0.9;

    /// <summary>Capture seconds after the end of the send.</summary>
    public double TailSeconds { get; init; } = 3;

    /// <summary>Speed of the replay run against that of the record run, apart from what the model does; 2 is an octave up.</summary>
    public double ReplaySpeedRatio { get; init; } = 1;

    /// <summary>The tape is replayed backwards. Not off tape.</summary>
    public bool IsReversed { get; init; }

    /// <summary>Rate of the capture in Hz; 0 is that of the send.</summary>
    public int CaptureSampleRateHz { get; init; }

    /// <summary>Which replay of the same recording this is: replays differ in their wobble, start and noise, and share what is on the tape.</summary>
    public int ReplayNumber { get; init; } = 1;

    /// <summary>Which tracks are captured, counted from 0, in the order of the capture's channels; null is all of them.</summary>
    public IReadOnlyList<int>? CaptureTracks { get; init; }

    /// <summary>Spacing of the knots of the true time maps, in send seconds.</summary>
    public double TruthStepSeconds { get; init; } = 0.002;
}
