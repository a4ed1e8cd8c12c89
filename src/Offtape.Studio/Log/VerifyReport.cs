namespace Offtape.Studio;

/// <summary>What reading everything again has shown. Paths as the log keeps them.</summary>
public sealed record VerifyReport
{
    /// <summary>How many files the log has.</summary>
    public required int CheckedCount { get; init; }

    /// <summary>Not where they were, and their content nowhere in the studio folder.</summary>
    public required IReadOnlyList<string> Missing { get; init; }

    /// <summary>Another content stands under the name.</summary>
    public required IReadOnlyList<string> Changed { get; init; }

    public required IReadOnlyList<string> Unreadable { get; init; }

    public required IReadOnlyList<MovedFile> Moved { get; init; }

    /// <summary>Audio and sheets in the folder that the log does not have.</summary>
    public required IReadOnlyList<string> Unknown { get; init; }

    /// <summary>What SQLite finds wrong with the database.</summary>
    public required IReadOnlyList<string> DatabaseFaults { get; init; }

    /// <summary>The log has noted where moved files lie now.</summary>
    public required bool IsFollowed { get; init; }

    /// <summary>Everything the log has is there as it was. What is unknown is no harm.</summary>
    public bool IsFine =>
        Missing.Count == 0 && Changed.Count == 0 && Unreadable.Count == 0 && DatabaseFaults.Count == 0 && (IsFollowed || Moved.Count == 0);
}

/// <summary>A file that lies elsewhere in the studio folder than the log has it.</summary>
public sealed record MovedFile(string From, string To);
