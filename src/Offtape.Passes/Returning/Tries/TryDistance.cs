namespace Offtape.Passes.Tries;

/// <summary>What is left between two returns of one source that are both in time with it.</summary>
/// <param name="OffsetSeconds">How much later the second is, on average.</param>
/// <param name="SpreadSeconds">RMS of the movement about that.</param>
internal sealed record TryDistance(double OffsetSeconds, double SpreadSeconds);
