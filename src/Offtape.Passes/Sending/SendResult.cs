using Offtape.Base;

namespace Offtape.Passes;

/// <summary>What came of a send.</summary>
public sealed record SendResult
{
    /// <summary><see cref="ExitCode.Done"/>, or <see cref="ExitCode.Incomplete"/> when the side is too short or a source was left out.</summary>
    public required ExitCode ExitCode { get; init; }

    /// <summary>False when the send does not fit the side: then nothing was written.</summary>
    public required bool Written { get; init; }

    /// <summary>Path of the audio; null when nothing was written.</summary>
    public string? SendPath { get; init; }

    /// <summary>Path of the sheet; null when nothing was written.</summary>
    public string? SheetPath { get; init; }

    /// <summary>The pass as it was written, or as it would have been.</summary>
    public required PassSheet Sheet { get; init; }

    /// <summary>The run of tape, step by step; empty when nothing was written.</summary>
    public required IReadOnlyList<RunStep> Steps { get; init; }

    public required SidePlan Side { get; init; }

    public required IReadOnlyList<Notice> Notices { get; init; }
}
