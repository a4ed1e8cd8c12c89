namespace Offtape.Bench;

/// <summary>What is to be read, and how it was taken.</summary>
public sealed record BenchReadRequest
{
    /// <summary>Files, or folders of them: the start, the middle and the end of a tape, or repeats. At least one.</summary>
    public required IReadOnlyList<string> Captures { get; init; }

    /// <summary>The sheet, or its folder; null: the one beside the first capture, else a check signal made without any choice.</summary>
    public string? SheetPath { get; init; }

    public required HowTaken How { get; init; }

    /// <summary>Receives <c>bench.json</c>, <c>bench.html</c> and the plots.</summary>
    public required string TargetFolder { get; init; }

    public MachineFacts Facts { get; init; } = new();

    /// <summary>A capture in which the erasure stretch has been recorded over; null: none.</summary>
    public string? ErasedCapture { get; init; }

    /// <summary>Names or kinds of the parts that are to be read; empty for all.</summary>
    public IReadOnlyList<string> Parts { get; init; } = [];

    public IReadOnlyList<ReadingLimit> Limits { get; init; } = [];

    /// <summary>The day of the measurement as YYYY-MM-DD; null: that of the first capture's file.</summary>
    public string? Date { get; init; }

    /// <summary>What stands at the foot of the page: what made it.</summary>
    public string Footer { get; init; } = "";

    public bool Force { get; init; }
}
