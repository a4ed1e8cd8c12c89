namespace Offtape.Studio;

/// <summary>How a task of upkeep stands.</summary>
public sealed record UpkeepDue
{
    public required string Task { get; init; }
    public required string Words { get; init; }

    /// <summary>Common practice, no source; null: by findings alone.</summary>
    public double? EveryHours { get; init; }

    /// <summary>YYYY-MM-DD; null: never noted.</summary>
    public string? LastDone { get; init; }

    /// <summary>Run since then; null: never noted.</summary>
    public double? HoursSince { get; init; }

    /// <summary>What the benches show that asks for it.</summary>
    public IReadOnlyList<string> Findings { get; init; } = [];

    public required bool IsDue { get; init; }

    public IReadOnlyList<string> Cautions { get; init; } = [];
}
