using Offtape.Passes;

namespace Offtape.Studio;

/// <summary>What was typed of a pass after its send was made.</summary>
public sealed record KeptPass
{
    public required int FormatVersion { get; init; }
    public required string PassId { get; init; }

    /// <summary>When it was taken out of the log, UTC; null: it is in it.</summary>
    public string? RemovedAt { get; init; }

    public double? SpeedCmPerSecond { get; init; }

    /// <summary>As the log has it, with what the sheet says already.</summary>
    public SheetRun? Run { get; init; }

    /// <summary>Names of what the sheet says and the log has emptied since, as <see cref="PassFact"/> has them.</summary>
    public IReadOnlyList<string> Emptied { get; init; } = [];
}
