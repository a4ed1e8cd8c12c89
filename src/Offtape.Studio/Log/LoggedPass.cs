namespace Offtape.Studio;

/// <summary>A pass as the log has it. What was not said is null.</summary>
public sealed record LoggedPass
{
    public required string PassId { get; init; }

    /// <summary>UTC, as 2026-05-31T12:00:00Z.</summary>
    public required string At { get; init; }
    public string? Machine { get; init; }
    public string? Tape { get; init; }
    public string? Side { get; init; }

    /// <summary>Tracks of the tape it used, as the tape's format numbers them; empty: all of the side, or not known.</summary>
    public IReadOnlyList<int> TapeTracks { get; init; } = [];
    public double? SpeedCmPerSecond { get; init; }
    public double? StartCounter { get; init; }
    public double? StartSeconds { get; init; }
    public double LengthSeconds { get; init; }
    public double? PitchPercent { get; init; }
    public string? InputLevel { get; init; }
    public string? NoiseReduction { get; init; }
    public string? TapeType { get; init; }
    public double LevelDbfs { get; init; }
    public double PrintRatio { get; init; }
    public bool Reversed { get; init; }
    public string Layout { get; init; } = "";
    public string Note { get; init; } = "";

    /// <summary>Names of its sources, in the order of the sheet.</summary>
    public IReadOnlyList<string> Sources { get; init; } = [];

    /// <summary>How often it was heard in a capture.</summary>
    public int ReturnCount { get; init; }

    /// <summary>Where its pass.json lies: as seen from the studio folder where it lies in it.</summary>
    public string? Sheet { get; init; }
}
