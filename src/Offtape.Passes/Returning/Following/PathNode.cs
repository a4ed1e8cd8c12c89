namespace Offtape.Passes.Following;

/// <summary>One window of one hypothesis: the state before and after it, linked to the window before. State: source seconds and speed, with covariance.</summary>
internal sealed class PathNode
{
    internal required PathNode? Previous { get; init; }

    internal required double CaptureSeconds { get; init; }

    internal required PathState Predicted { get; init; }

    internal required PathState Updated { get; init; }

    internal required float Strength { get; init; }

    internal required bool IsSounding { get; init; }
}

/// <summary>Gaussian state of a path.</summary>
/// <param name="Source">Source seconds.</param>
/// <param name="Speed">Source seconds per capture second.</param>
/// <param name="Pss">Variance of the source seconds.</param>
/// <param name="Psu">Covariance.</param>
/// <param name="Puu">Variance of the speed.</param>
internal readonly record struct PathState(double Source, double Speed, double Pss, double Psu, double Puu)
{
    /// <summary>The state one step later under white acceleration.</summary>
    internal PathState Predict(double stepSeconds, double processNoise)
    {
        var (h, q) = (stepSeconds, processNoise);
        return new PathState(
            Source + h * Speed,
            Math.Max(0, Speed),
            Pss + 2 * h * Psu + h * h * Puu + q * h * h * h / 3,
            Psu + h * Puu + q * h * h / 2,
            Puu + q * h
        );
    }

    /// <summary>The state after a measurement of the source seconds.</summary>
    internal PathState Update(double innovation, double innovationVariance)
    {
        var (ks, ku) = (Pss / innovationVariance, Psu / innovationVariance);
        return new PathState(Source + ks * innovation, Speed + ku * innovation, Pss - ks * Pss, Psu - ks * Psu, Puu - ku * Psu);
    }
}
