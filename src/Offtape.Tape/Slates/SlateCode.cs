namespace Offtape.Tape;

/// <summary>What a slate says: where it stands, its running number on the pass, and the short number of the pass.</summary>
/// <param name="Kind">Head, gap or tail.</param>
/// <param name="Number">Running number of the slate on its pass, modulo 32 (head and tail: modulo 16); the head slate is 0.</param>
/// <param name="PassNumber">0 to 127, from <see cref="Slate.ShortPassNumber"/>.</param>
public readonly record struct SlateCode(SlateKind Kind, int Number, int PassNumber);
