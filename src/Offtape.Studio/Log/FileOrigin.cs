namespace Offtape.Studio;

/// <summary>What the log knows of a file.</summary>
public sealed record FileOrigin
{
    /// <summary>As it was named.</summary>
    public required string File { get; init; }

    public required string Sha256 { get; init; }

    /// <summary><c>content</c>: the log holds this very content; <c>metadata</c>: the file says its pass itself; null: not known.</summary>
    public string? KnownBy { get; init; }

    /// <summary><c>take</c>, <c>capture</c>, <c>send</c>, <c>source</c>, <c>bench</c> …; null where it is not known.</summary>
    public string? Kind { get; init; }

    /// <summary>Under which name the log has it.</summary>
    public string? LoggedAs { get; init; }

    /// <summary>The source a take was made of.</summary>
    public string? Source { get; init; }

    public string? Retiming { get; init; }

    /// <summary>What a take was cut from.</summary>
    public string? Capture { get; init; }

    public double? CaptureStartSeconds { get; init; }

    /// <summary>The pass as the file itself names it; also where the log does not have it.</summary>
    public string? PassIdInFile { get; init; }

    /// <summary>The pass it was made on; of a capture all that were heard in it, of a source all it went through.</summary>
    public IReadOnlyList<LoggedPass> Passes { get; init; } = [];

    /// <summary>The bench it belongs to, as its machine and day; null for none.</summary>
    public string? Bench { get; init; }
}
