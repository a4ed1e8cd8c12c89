namespace Offtape.Studio;

/// <summary>A sound that was looked for in a capture, as the log has it.</summary>
public sealed record LoggedTake
{
    public required string Source { get; init; }

    public bool IsFound { get; init; }

    /// <summary>From its beginning to its end.</summary>
    public bool IsComplete { get; init; }

    /// <summary>0 to 1.</summary>
    public double Confidence { get; init; }

    /// <summary>In s from the beginning of the capture; null: not found.</summary>
    public double? CaptureStartSeconds { get; init; }

    /// <summary>Speed against that of the send, 1 for the same; null: not known.</summary>
    public double? SpeedRatio { get; init; }

    /// <summary>Furthest that the pitch goes from its mean, in cents; null: not known.</summary>
    public double? WobblePeakCents { get; init; }

    /// <summary>Its file in each retiming; paths as the log keeps them.</summary>
    public IReadOnlyList<LoggedTakeFile> Files { get; init; } = [];
}

/// <summary>A take in one retiming.</summary>
public sealed record LoggedTakeFile(string Retiming, string Path);
