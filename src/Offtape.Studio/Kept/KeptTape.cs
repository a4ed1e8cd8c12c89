namespace Offtape.Studio;

/// <summary>What was typed of a tape.</summary>
public sealed record KeptTape
{
    public required int FormatVersion { get; init; }
    public required string Name { get; init; }

    /// <summary>UTC, as 2026-05-31T12:00:00Z.</summary>
    public required string AddedAt { get; init; }
    public string? RetiredAt { get; init; }

    /// <summary>"cassette" or "quarter-inch".</summary>
    public string? Format { get; init; }
    public string? TapeType { get; init; }
    public double? LengthMetres { get; init; }
    public double? ThicknessMicrometres { get; init; }
    public string? TrackFormat { get; init; }
    public string Note { get; init; } = "";
    public IReadOnlyList<KeptSide> Sides { get; init; } = [];
}

/// <summary>A side of a tape, with the stretches and marks that were typed.</summary>
public sealed record KeptSide
{
    public required string Name { get; init; }
    public double? LengthMetres { get; init; }
    public string Note { get; init; } = "";

    /// <summary>Those that no pass of the log has made.</summary>
    public IReadOnlyList<KeptStretch> Stretches { get; init; } = [];

    public IReadOnlyList<KeptMark> CounterMarks { get; init; } = [];
}

/// <summary>A stretch that was typed.</summary>
public sealed record KeptStretch
{
    public required string At { get; init; }
    public double? StartSeconds { get; init; }
    public double? EndSeconds { get; init; }
    public double? SpeedCmPerSecond { get; init; }

    /// <summary>1,2; null: all of the side.</summary>
    public string? Tracks { get; init; }

    /// <summary>How often in all, where that was said.</summary>
    public int? TimesTyped { get; init; }
    public string Note { get; init; } = "";
}

/// <summary>What a machine's counter showed.</summary>
public sealed record KeptMark
{
    public required string At { get; init; }
    public string? Machine { get; init; }
    public required double Counter { get; init; }
    public required double Metres { get; init; }
}
