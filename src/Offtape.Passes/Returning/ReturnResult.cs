using Offtape.Base;

namespace Offtape.Passes;

/// <summary>What a return did.</summary>
public sealed record ReturnResult
{
    public required ExitCode ExitCode { get; init; }

    public required ReturnSheet Sheet { get; init; }

    public required string SheetPath { get; init; }

    /// <summary>One plain sentence for each take, and for what concerns the whole.</summary>
    public required IReadOnlyList<string> Sentences { get; init; }
}
