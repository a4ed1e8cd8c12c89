namespace Offtape.Studio;

/// <summary>Which passes are wanted; what is null asks nothing.</summary>
public sealed record PassFilter
{
    public const int UsualLimit = 50;

    /// <summary>A machine's name, compared without case.</summary>
    public string? Machine { get; init; }

    public string? Tape { get; init; }

    public string? Side { get; init; }

    /// <summary>Within 1 %: 9.5 also finds 9.525.</summary>
    public double? SpeedCmPerSecond { get; init; }

    /// <summary>A part of a source's name.</summary>
    public string? Source { get; init; }

    public string? PassId { get; init; }

    /// <summary>First day, as YYYY-MM-DD, UTC.</summary>
    public string? From { get; init; }

    /// <summary>Last day, itself included.</summary>
    public string? To { get; init; }

    public int Limit { get; init; } = UsualLimit;
}
