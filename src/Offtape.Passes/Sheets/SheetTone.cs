namespace Offtape.Passes;

/// <summary>The line-up tone at the beginning of a pass.</summary>
public sealed record SheetTone
{
    public required double FrequencyHz { get; init; }

    /// <summary>Peak of the sine.</summary>
    public required double LevelDbfs { get; init; }
    public required double StartSeconds { get; init; }
    public required double LengthSeconds { get; init; }

    /// <summary>From 1.</summary>
    public required IReadOnlyList<int> Tracks { get; init; }
}
