namespace Offtape.Tape;

/// <summary>Where on a pass a slate stands.</summary>
public enum SlateKind
{
    /// <summary>Before the first sound.</summary>
    Head = 0,

    /// <summary>Between two sounds.</summary>
    Gap = 1,

    /// <summary>After the last sound.</summary>
    Tail = 2,
}
