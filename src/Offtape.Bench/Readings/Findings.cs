using Offtape.Base;

namespace Offtape.Bench;

/// <summary>What one part of the bench found.</summary>
public sealed record Findings
{
    public static Findings None { get; } = new();

    public IReadOnlyList<Reading> Readings { get; init; } = [];

    public IReadOnlyList<ReadingCurve> Curves { get; init; } = [];

    /// <summary>What the reader of the report should know of how it was read.</summary>
    public IReadOnlyList<Notice> Notices { get; init; } = [];

    public static Findings operator +(Findings a, Findings b) =>
        new()
        {
            Readings = [.. a.Readings, .. b.Readings],
            Curves = [.. a.Curves, .. b.Curves],
            Notices = [.. a.Notices, .. b.Notices],
        };
}
