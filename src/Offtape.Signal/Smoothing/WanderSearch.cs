namespace Offtape.Signal;

/// <summary>Finds the model under which points are likeliest, by steps of half a decade of walk noise and of a factor of two of tremble.</summary>
public static class WanderSearch
{
    private const double WalkStep = 3.1622776601683795;
    private const double TrembleStep = 2;
    private const double LeastWalk = 1e-11;
    private const double MostWalk = 3e-2;
    private const double LeastTremble = 1e-8;
    private const double MostTremble = 2e-3;
    private const int MostSteps = 60;

    // One may stand for the other: on that ridge neither can be changed alone.
    private static readonly (double Walk, double Tremble)[] Directions =
    [
        (WalkStep, 1),
        (1 / WalkStep, 1),
        (1, TrembleStep),
        (1, 1 / TrembleStep),
        (WalkStep, 1 / TrembleStep),
        (1 / WalkStep, TrembleStep),
    ];

    /// <summary>Climbs from a model to the likeliest near it, one step of either or of both against each other at a time.</summary>
    /// <param name="smoother">Whose scratch is used.</param>
    /// <param name="values">As of <see cref="WanderSmoother"/>.</param>
    /// <param name="information">As of <see cref="WanderSmoother"/>.</param>
    /// <param name="stepSeconds">As of <see cref="WanderSmoother"/>.</param>
    /// <param name="start">Where to begin; its tremble time stays.</param>
    /// <param name="relativeNoise">As of <see cref="WanderSmoother"/>.</param>
    public static WanderModel Climb(
        WanderSmoother smoother,
        ReadOnlySpan<double> values,
        ReadOnlySpan<double> information,
        double stepSeconds,
        WanderModel start,
        ReadOnlySpan<double> relativeNoise
    )
    {
        var best = start;
        var bestLikelihood = smoother.LogLikelihood(values, information, stepSeconds, best, relativeNoise);
        var direction = 0;
        var failed = 0;
        for (var steps = 0; steps < MostSteps && failed < Directions.Length; steps++)
        {
            var (walk, tremble) = Directions[direction];
            var trial = best with
            {
                WalkNoise = Math.Clamp(best.WalkNoise * walk, LeastWalk, MostWalk),
                Tremble = Math.Clamp(best.Tremble * tremble, LeastTremble, MostTremble),
            };
            var likelihood =
                trial == best ? double.NegativeInfinity : smoother.LogLikelihood(values, information, stepSeconds, trial, relativeNoise);
            if (likelihood > bestLikelihood + 1e-6)
            {
                // On in the direction that helped.
                (best, bestLikelihood, failed) = (trial, likelihood, 0);
                continue;
            }
            failed++;
            direction = (direction + 1) % Directions.Length;
        }
        return best;
    }
}
