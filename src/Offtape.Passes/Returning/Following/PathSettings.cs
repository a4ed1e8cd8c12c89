namespace Offtape.Passes.Following;

/// <summary>What a <see cref="PathTracker"/> may expect of the tape.</summary>
internal sealed record PathSettings
{
    /// <summary>How far the speed strays from its mean, one sigma, as a ratio: a worn deck's wow, doubled by its two runs.</summary>
    internal double WanderSigma { get; init; } = 0.006;

    /// <summary>How long it stays away.</summary>
    internal double WanderSeconds { get; init; } = 0.5;

    /// <summary>How well the start is known, one sigma.</summary>
    internal double StartSigmaSeconds { get; init; } = 2e-3;

    /// <summary>How well the speed at the start is known, one sigma, as a ratio.</summary>
    internal double SpeedSigma { get; init; } = 1e-3;

    /// <summary>Most hypotheses that are kept from one window to the next.</summary>
    internal int HypothesisCount { get; init; } = 8;

    /// <summary>Most rival peaks of one correlation.</summary>
    internal int PeakCount { get; init; } = 4;
}
