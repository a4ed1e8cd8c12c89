namespace Offtape.Studio;

/// <summary>What was typed of a machine.</summary>
public sealed record KeptMachine
{
    public required int FormatVersion { get; init; }
    public required MachineEntry Machine { get; init; }

    /// <summary>UTC, as 2026-05-31T12:00:00Z.</summary>
    public required string AddedAt { get; init; }
    public string? RetiredAt { get; init; }

    /// <summary>In the order in which they were noted, as <see cref="Hours"/> and <see cref="Upkeep"/>.</summary>
    public IReadOnlyList<LineUp> LineUps { get; init; } = [];

    public IReadOnlyList<KeptHours> Hours { get; init; } = [];

    public IReadOnlyList<KeptUpkeep> Upkeep { get; init; } = [];
}

/// <summary>Hours run besides the passes of the log.</summary>
public sealed record KeptHours
{
    public required string At { get; init; }
    public required double Hours { get; init; }
    public string Note { get; init; } = "";
}

/// <summary>A task that was done, and what the machine had run by then.</summary>
public sealed record KeptUpkeep
{
    public required string At { get; init; }
    public required string Task { get; init; }
    public double? AtHours { get; init; }
    public string Note { get; init; } = "";
}
