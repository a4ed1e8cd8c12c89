namespace Offtape.Studio;

/// <summary>A pass that is taken out of the log, or would be.</summary>
public sealed record RemovedPass
{
    public required LoggedPass Pass { get; init; }

    /// <summary>What of its side is free again, in seconds at the pass's speed; null where its place was not known.</summary>
    public double? FreedFromSeconds { get; init; }

    public double? FreedToSeconds { get; init; }

    /// <summary>Recordings on that place that are later; they count one less.</summary>
    public int LaterCount { get; init; }

    /// <summary>What the program wrote for it: its send and its sheet. Sources are never among them.</summary>
    public IReadOnlyList<RemovableFile> Files { get; init; } = [];
}

/// <summary>A file that belongs to a pass alone.</summary>
/// <param name="Path">As the log has it.</param>
/// <param name="IsAsLogged">It is there with the content it was logged with; only then can it be deleted.</param>
public sealed record RemovableFile(string Path, bool IsAsLogged);
