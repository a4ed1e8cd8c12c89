namespace Offtape.Studio;

/// <summary>What is done next with an open end.</summary>
internal enum MoveKind
{
    PlugIntoSink,
    PlugTogether,
    Add,

    /// <summary>It hangs free.</summary>
    Hang,

    /// <summary>All that is still open hangs free.</summary>
    Leave,

    /// <summary>What is left falls into parts that go their own ways.</summary>
    Split,
}

/// <summary>One move, and those after it.</summary>
/// <param name="Kind">What is done.</param>
/// <param name="End">Which open end, by its place among them.</param>
/// <param name="Part">Which part, by its place in the search's list.</param>
/// <param name="Index">Which socket of side B, which open end, or which end of the part.</param>
/// <param name="Then">The next move; null at the end.</param>
internal sealed record Move(MoveKind Kind, int End, int Part, int Index, Move? Then)
{
    /// <summary>Of a split: for each part its open ends, by their places, and its moves.</summary>
    public IReadOnlyList<(IReadOnlyList<int> Ends, Move? Moves)> Branches { get; init; } = [];
}

/// <summary>One legal way to do a task.</summary>
/// <param name="Parts">The parts, by their places in the search's list, in order; a part used twice stands there twice.</param>
/// <param name="Moves">How it is put together.</param>
/// <param name="Facts">What becomes of each channel.</param>
/// <param name="WarningCount">How many warnings it earns.</param>
/// <param name="MismatchDb">How far its levels are off, summed over the channels.</param>
internal sealed record JoinOption(int[] Parts, Move? Moves, IReadOnlyList<LaneFacts?> Facts, int WarningCount, double MismatchDb)
{
    /// <summary>Whether it is to be taken rather than another one of the same parts.</summary>
    public bool IsBetterThan(JoinOption other) => (WarningCount, MismatchDb).CompareTo((other.WarningCount, other.MismatchDb)) < 0;

    /// <summary>Both together, for channels that go their own ways.</summary>
    public JoinOption With(JoinOption other) =>
        new(
            [.. Parts.Concat(other.Parts).Order()],
            null,
            [.. Facts.Select((f, k) => f ?? other.Facts[k])],
            WarningCount + other.WarningCount,
            MismatchDb + other.MismatchDb
        );

    /// <summary>Whether it needs all that another one needs, and more.</summary>
    public bool NeedsMoreThan(JoinOption other)
    {
        if (Parts.Length <= other.Parts.Length)
            return false;
        var i = 0;
        foreach (var part in other.Parts)
        {
            while (i < Parts.Length && Parts[i] < part)
                i++;
            if (i == Parts.Length || Parts[i] != part)
                return false;
            i++;
        }
        return true;
    }
}
