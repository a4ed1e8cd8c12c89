namespace Offtape.Studio;

/// <summary>One time a pass came back, as the log has it.</summary>
public sealed record LoggedReturn
{
    /// <summary>UTC, as 2026-05-31T12:00:00Z.</summary>
    public required string At { get; init; }

    /// <summary>The retiming that was asked for.</summary>
    public required string Retime { get; init; }

    /// <summary>What it was heard in; paths as the log keeps them.</summary>
    public required string Capture { get; init; }

    /// <summary>Where the pass stands in the capture, in s from its beginning; null: not known.</summary>
    public double? CaptureStartSeconds { get; init; }

    public double? CaptureEndSeconds { get; init; }

    /// <summary>Speed against that of the send, 1 for the same; null: not known.</summary>
    public double? SpeedRatio { get; init; }

    /// <summary>All of it was heard.</summary>
    public bool IsComplete { get; init; }

    /// <summary>Where its return.json lies.</summary>
    public required string Sheet { get; init; }

    /// <summary>In the order of its sheet.</summary>
    public IReadOnlyList<LoggedTake> Takes { get; init; } = [];
}
