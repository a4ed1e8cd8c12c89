namespace Offtape.Passes.Mapping;

/// <summary>What is known of each frame's lag before it is heard.</summary>
/// <param name="Departure">The lag, seconds against the straight line.</param>
/// <param name="Information">How much that counts, 1/s².</param>
/// <param name="IsAll">Frames that say nothing by themselves: the prior is all there is.</param>
internal sealed record FramePrior(double[] Departure, double[] Information, bool[] IsAll);
