namespace Offtape.Bench;

/// <summary>One report of a comparison: what it is called there, and what decides which of its figures can be held against another's.</summary>
public sealed record ComparedReport
{
    /// <summary>Unlike that of any other: the day, the machine, or both.</summary>
    public required string Label { get; init; }

    /// <summary>The file that was read; empty for a report in memory.</summary>
    public required string File { get; init; }

    public required string Machine { get; init; }

    public required string? Date { get; init; }

    public required HowTaken How { get; init; }

    public required double? SpeedCmPerSecond { get; init; }

    public required string SheetId { get; init; }

    public required int RunCount { get; init; }

    internal static ComparedReport Of(BenchReport report, string file, string label) =>
        new()
        {
            Label = label,
            File = file,
            Machine = report.Machine,
            Date = report.Date,
            How = report.How,
            SpeedCmPerSecond = report.Facts.SpeedCmPerSecond,
            SheetId = report.SheetId,
            RunCount = report.Runs.Count,
        };
}
