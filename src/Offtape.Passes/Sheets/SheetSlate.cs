using Offtape.Tape;

namespace Offtape.Passes;

/// <summary>One slate of a pass.</summary>
public sealed record SheetSlate
{
    public required SlateKind Kind { get; init; }

    /// <summary>Running number on the pass, from 0, as the slate itself says it (modulo 32).</summary>
    public required int Number { get; init; }
    public required double StartSeconds { get; init; }
    public required double LengthSeconds { get; init; }

    /// <summary>From 1.</summary>
    public required IReadOnlyList<int> Tracks { get; init; }
}
