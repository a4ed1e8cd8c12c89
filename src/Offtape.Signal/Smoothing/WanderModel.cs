namespace Offtape.Signal;

/// <summary>How a curve moves by itself: a slope that walks at random, and a tremble about that.</summary>
/// <param name="WalkNoise">Variance that the slope gains a second, in (unit/s)²/s.</param>
/// <param name="Tremble">Standard deviation of the tremble, in units of the curve.</param>
/// <param name="TrembleSeconds">Time in which a tremble is forgotten to 1/e.</param>
public readonly record struct WanderModel(double WalkNoise, double Tremble, double TrembleSeconds);
