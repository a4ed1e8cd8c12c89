using Offtape.Base;

namespace Offtape.Bench;

/// <summary>Several reports held against the first of them.</summary>
public sealed record BenchComparison
{
    public const int CurrentFormatVersion = 1;

    public int FormatVersion { get; init; } = CurrentFormatVersion;

    /// <summary>True: one machine, in order of time. False: several machines, in the order in which they were given.</summary>
    public required bool IsOverTime { get; init; }

    /// <summary>The first is what the others are held against.</summary>
    public required IReadOnlyList<ComparedReport> Reports { get; init; }

    /// <summary>Every quantity that any report has a line for.</summary>
    public required IReadOnlyList<ComparedReading> Readings { get; init; }

    /// <summary>What moves with time by more than chance; empty with fewer than three days.</summary>
    public required IReadOnlyList<ReadingTrend> Trends { get; init; }

    /// <summary>How many figures were held against each other.</summary>
    public required int ComparedCount { get; init; }

    /// <summary>How many of them would differ by chance alone, at most: one in twenty, as uncertainties hold the truth 95 times in 100.</summary>
    public required double ExpectedByChance { get; init; }

    public required IReadOnlyList<Notice> Notices { get; init; }

    /// <summary>What it says, in a sentence or two.</summary>
    public required string Summary { get; init; }

    public string ToJson() => BenchComparisonJson.Write(this);
}
