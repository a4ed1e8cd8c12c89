namespace Offtape.Studio;

/// <summary>A finished job as it was handed over.</summary>
/// <param name="Name">Of the job.</param>
/// <param name="Passes">Each with everything that was set.</param>
/// <param name="Files">What lies in the folder.</param>
/// <param name="Lacking">What belongs to it and could not be put in, and why; empty where it is whole.</param>
public sealed record ClosedJob(
    string Name,
    IReadOnlyList<LoggedPass> Passes,
    IReadOnlyList<ClosedFile> Files,
    IReadOnlyList<string> Lacking
)
{
    /// <summary>When it was closed, UTC, as 2026-05-31T12:00:00Z; null in a job of before this was said.</summary>
    public string? ClosedAt { get; init; }
}

/// <summary>A file of a closed job.</summary>
/// <param name="Path">From the job's folder.</param>
/// <param name="Kind">What it is for.</param>
/// <param name="Sha256">Of its content.</param>
/// <param name="PassId">The pass it belongs to.</param>
/// <param name="What">In words: the source's name, or what it is.</param>
public sealed record ClosedFile(string Path, string Kind, string Sha256, string PassId, string What);
