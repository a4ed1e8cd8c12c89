namespace Offtape.Passes.Following;

/// <summary>One window of one hypothesis: the state before and after it, linked to the window before. State: source seconds and speed, with covariance.</summary>
internal sealed class PathNode
{
    internal required PathNode? Previous { get; init; }

    internal required double CaptureSeconds { get; init; }

    internal required PathState Predicted { get; init; }

    internal required PathState Updated { get; init; }

    internal required float Strength { get; init; }

    /// <summary>Log-likelihood ratio that this window added against "nothing there", in nats.</summary>
    internal required double Gain { get; init; }

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
    /// <summary>The state one step later.</summary>
    internal PathState Predict(in PathMotion motion)
    {
        var (a, b) = (motion.Coupling, motion.Memory);
        var towards = motion.MeanSpeed * motion.StepSeconds + a * (Speed - motion.MeanSpeed);
        return new PathState(
            Source + Math.Max(0, towards),
            motion.MeanSpeed + b * (Speed - motion.MeanSpeed),
            Pss + 2 * a * Psu + a * a * Puu + motion.Qss,
            b * (Psu + a * Puu) + motion.Qsu,
            b * b * Puu + motion.Quu
        );
    }

    /// <summary>The state after a measurement of the source seconds.</summary>
    internal PathState Update(double innovation, double innovationVariance)
    {
        var (ks, ku) = (Pss / innovationVariance, Psu / innovationVariance);
        return new PathState(Source + ks * innovation, Speed + ku * innovation, Pss - ks * Pss, Psu - ks * Psu, Puu - ku * Psu);
    }
}

/// <summary>
/// How the tape's speed wanders: a first-order Gauss–Markov process about its mean (white acceleration, pulled back with a time constant),
/// so that the path coasts at the mean through silence.
/// </summary>
internal readonly record struct PathMotion
{
    internal PathMotion(double stepSeconds, double meanSpeed, double speedSigma, double timeConstantSeconds)
    {
        (StepSeconds, MeanSpeed) = (stepSeconds, meanSpeed);
        Memory = Math.Exp(-stepSeconds / timeConstantSeconds);
        Coupling = timeConstantSeconds * (1 - Memory);
        // White acceleration of density 2σ²/T keeps the speed's standard deviation at σ; over one short step the usual integrals hold.
        var density = 2 * speedSigma * speedSigma / timeConstantSeconds;
        Qss = density * stepSeconds * stepSeconds * stepSeconds / 3;
        Qsu = density * stepSeconds * stepSeconds / 2;
        Quu = density * stepSeconds;
    }

    internal double StepSeconds { get; }

    internal double MeanSpeed { get; }

    /// <summary>Share of a deviation of speed that is left after a step.</summary>
    internal double Memory { get; }

    /// <summary>Source seconds gained per unit of deviation over a step.</summary>
    internal double Coupling { get; }

    internal double Qss { get; }

    internal double Qsu { get; }

    internal double Quu { get; }
}
