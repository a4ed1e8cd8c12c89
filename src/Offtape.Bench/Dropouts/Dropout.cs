namespace Offtape.Bench;

/// <summary>A moment in which a steady tone was lost.</summary>
/// <param name="SendSeconds">Its middle, in seconds of the send.</param>
/// <param name="DepthDb">Loss at its deepest, above 0.</param>
/// <param name="LengthMilliseconds">Width at half of that depth in dB, as heard.</param>
internal sealed record Dropout(double SendSeconds, double DepthDb, double LengthMilliseconds);
