namespace Offtape.Signal;

/// <summary>How a curve moves by itself: a slope that walks at random, and a tremble about that.</summary>
/// <param name="WalkNoise">Variance that the slope gains a second, in (unit/s)²/s.</param>
/// <param name="Tremble">Standard deviation of the tremble, in units of the curve.</param>
/// <param name="TrembleSeconds">Time in which a tremble is forgotten to 1/e.</param>
public readonly record struct WanderModel(double WalkNoise, double Tremble, double TrembleSeconds)
{
    // With w the square of a Hann window of length 1, as weights about 0: 2·E|t| − E|t − t'| of the tremble's covariance, and for the walk
    // 2·ΣΣ w·w'·m²·(3M − m)/6 over t, t' > 0, m the smaller and M the larger of the two.
    private const double TrembleBlur = 0.06886;
    private const double WalkBlur = 3.238e-4;

    /// <summary>
    /// Mean square of how far the curve at the middle of a Hann window is from what the window hears, its mean over the window's square; for
    /// windows short against <see cref="TrembleSeconds"/>.
    /// </summary>
    /// <param name="windowSeconds">Length of the window.</param>
    /// <returns>In units of the curve, squared.</returns>
    public double BlurVariance(double windowSeconds) =>
        TrembleBlur * Tremble * Tremble * windowSeconds / TrembleSeconds
        + WalkBlur * WalkNoise * windowSeconds * windowSeconds * windowSeconds;
}
