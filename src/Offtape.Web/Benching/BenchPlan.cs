using Offtape.Bench;
using Offtape.Tape;

namespace Offtape.Web.Benching;

/// <summary>What the user has said of a sitting at the bench: kept beside its check signal as bench-plan.json, replaced whole.</summary>
public sealed record BenchPlan
{
    public const string FileName = "bench-plan.json";

    public int FormatVersion { get; init; } = 1;

    /// <summary>Stands in addresses; says nothing of the folder.</summary>
    public required string Id { get; init; }

    public required DateTimeOffset MadeAt { get; init; }

    public string Machine { get; init; } = "";

    /// <summary>Null: not said.</summary>
    public double? SpeedCmPerSecond { get; init; }

    /// <summary>A word of <see cref="TrackFormatNames"/>; null: not said.</summary>
    public string? Format { get; init; }

    /// <summary>Null: not said yet; nothing is read before.</summary>
    public HowTaken? How { get; init; }

    /// <summary>From the record head to the replay head; null: not known.</summary>
    public double? HeadDistanceMm { get; init; }

    public int ChannelCount { get; init; } = BenchSheetRequest.DefaultChannelCount;

    public double LevelDbfs { get; init; } = BenchSheetRequest.DefaultLevelDbfs;

    /// <summary>Numbers of the steps that were ticked.</summary>
    public IReadOnlyList<int> Ticked { get; init; } = [];

    /// <summary>File name of the replay in which the erasure stretch was recorded over; null: none.</summary>
    public string? Erased { get; init; }

    /// <summary>Captures that are not to be read, by file name.</summary>
    public IReadOnlyList<string> LeftOut { get; init; } = [];

    /// <summary>What it is called: the machine and the day.</summary>
    public string Name => Machine.Length > 0 ? $"{Machine}, {MadeAt:d MMMM yyyy}" : $"Bench of {MadeAt:d MMMM yyyy}";
}
