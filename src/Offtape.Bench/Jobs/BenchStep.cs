namespace Offtape.Bench;

/// <summary>One step of a run at the bench, in the order in which it is done.</summary>
/// <param name="Number">From 1.</param>
/// <param name="Text">What to do, with this signal's own times and levels.</param>
/// <param name="Caution">What to beware of while doing it; null: nothing.</param>
public sealed record BenchStep(int Number, string Text, string? Caution);
