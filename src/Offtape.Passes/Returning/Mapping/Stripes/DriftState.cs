namespace Offtape.Passes.Mapping;

/// <summary>
/// Gaussian state of a <see cref="TrackDrift"/>: a constant, and a movement about it with its speed that returns of itself (two equal
/// relaxations: the Matérn process of order 3/2 in its state form, J. Hartikainen and S. Särkkä, IEEE MLSP 2010).
/// </summary>
internal struct DriftState
{
    internal double Constant;
    internal double Place;
    internal double Speed;

    // Covariance, upper half: constant, place, speed.
    internal double Cc;
    internal double Cp;
    internal double Cs;
    internal double Pp;
    internal double Ps;
    internal double Ss;

    internal readonly double Value => Constant + Place;

    internal readonly double Variance => Cc + 2 * Cp + Pp;

    internal static DriftState Begin(double constantVariance, in DriftModel model) =>
        new()
        {
            Cc = constantVariance,
            Pp = model.Variance,
            Ss = model.Variance * model.Rate * model.Rate,
        };

    /// <summary>A step on: F = e^(−λh)·[1 + λh, h; −λ²h, 1 − λh] on place and speed; noise so that the movement stays as large as it is.</summary>
    internal readonly DriftState Predicted(in DriftStep step)
    {
        var (a, b, c, d) = (step.A, step.B, step.C, step.D);
        return new()
        {
            Constant = Constant,
            Place = a * Place + b * Speed,
            Speed = c * Place + d * Speed,
            Cc = Cc,
            Cp = a * Cp + b * Cs,
            Cs = c * Cp + d * Cs,
            Pp = a * a * Pp + 2 * a * b * Ps + b * b * Ss + step.Qpp,
            Ps = a * c * Pp + (a * d + b * c) * Ps + b * d * Ss + step.Qps,
            Ss = c * c * Pp + 2 * c * d * Ps + d * d * Ss + step.Qss,
        };
    }

    internal readonly DriftState Updated(double innovation, double variance)
    {
        var (hc, hp, hs) = (Cc + Cp, Cp + Pp, Cs + Ps);
        return new()
        {
            Constant = Constant + hc / variance * innovation,
            Place = Place + hp / variance * innovation,
            Speed = Speed + hs / variance * innovation,
            Cc = Cc - hc * hc / variance,
            Cp = Cp - hc * hp / variance,
            Cs = Cs - hc * hs / variance,
            Pp = Pp - hp * hp / variance,
            Ps = Ps - hp * hs / variance,
            Ss = Ss - hs * hs / variance,
        };
    }
}

/// <param name="Variance">Mean square of the movement.</param>
/// <param name="Rate">λ, 1/s: it is forgotten in about 2/λ.</param>
internal readonly record struct DriftModel(double Variance, double Rate);

/// <summary>What a step of given length does under a model.</summary>
internal readonly struct DriftStep
{
    internal DriftStep(in DriftModel model, double seconds)
    {
        var (turn, fade) = (model.Rate * seconds, Math.Exp(-model.Rate * seconds));
        (A, B, C, D) = (fade * (1 + turn), fade * seconds, -fade * model.Rate * turn, fade * (1 - turn));
        var (pp, ss) = (model.Variance, model.Variance * model.Rate * model.Rate);
        (Qpp, Qps, Qss) = (pp - A * A * pp - B * B * ss, -A * C * pp - B * D * ss, ss - C * C * pp - D * D * ss);
    }

    internal double A { get; }
    internal double B { get; }
    internal double C { get; }
    internal double D { get; }
    internal double Qpp { get; }
    internal double Qps { get; }
    internal double Qss { get; }
}
