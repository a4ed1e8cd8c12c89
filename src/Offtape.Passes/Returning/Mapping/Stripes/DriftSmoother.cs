namespace Offtape.Passes.Mapping;

/// <summary>
/// The curve of a <see cref="DriftState"/> through points of unequal sureness: Kalman filter, then the backward recursion of A. E. Bryson and
/// M. Frazier (Smoothing for linear and nonlinear dynamic systems, 1963) in its modified form (G. J. Bierman, Automatica 9, 1973), which
/// inverts no matrix. Where nothing is measured the curve returns to its mean and its deviation to that of the movement.
/// </summary>
internal static class DriftSmoother
{
    /// <param name="values">On an even grid; read only where the information is above 0.</param>
    /// <param name="information">1/σ² of each.</param>
    /// <param name="stepSeconds">The grid's step.</param>
    /// <param name="model">How the curve moves.</param>
    /// <param name="constantVariance">How far its mean may be from 0.</param>
    /// <param name="smooth">Receives the curve; empty for the likelihood alone.</param>
    /// <param name="sigma">Receives its standard deviation; as long.</param>
    /// <returns>The log-likelihood of the points.</returns>
    internal static double Fit(
        ReadOnlySpan<double> values,
        ReadOnlySpan<double> information,
        double stepSeconds,
        in DriftModel model,
        double constantVariance,
        Span<double> smooth,
        Span<double> sigma
    )
    {
        var step = new DriftStep(model, stepSeconds);
        var predicted = new DriftState[smooth.Length];
        var state = DriftState.Begin(constantVariance, model);
        double likelihood = 0;
        for (var i = 0; i < values.Length; i++)
        {
            if (i > 0)
                state = state.Predicted(step);
            if (!smooth.IsEmpty)
                predicted[i] = state;
            if (information[i] <= 0)
                continue;
            var (innovation, variance) = (values[i] - state.Value, state.Variance + 1 / information[i]);
            likelihood -= 0.5 * (innovation * innovation / variance + Math.Log(variance));
            state = state.Updated(innovation, variance);
        }
        if (smooth.IsEmpty)
            return likelihood;
        // λ and Λ of the recursion, after the point i and then before it.
        double lc = 0,
            lp = 0,
            ls = 0;
        double cc = 0,
            cp = 0,
            cs = 0,
            pp = 0,
            ps = 0,
            ss = 0;
        for (var i = values.Length - 1; i >= 0; i--)
        {
            var p = predicted[i];
            var (hc, hp, hs) = (p.Cc + p.Cp, p.Cp + p.Pp, p.Cs + p.Ps);
            if (information[i] > 0)
            {
                var variance = p.Variance + 1 / information[i];
                var (kc, kp, ks) = (hc / variance, hp / variance, hs / variance);
                var along = kc * lc + kp * lp + ks * ls + (values[i] - p.Value) / variance;
                (lc, lp) = (lc - along, lp - along);
                var (tc, tp, ts) = (cc * kc + cp * kp + cs * ks, cp * kc + pp * kp + ps * ks, cs * kc + ps * kp + ss * ks);
                var twice = tc * kc + tp * kp + ts * ks + 1 / variance;
                (cc, cp, cs) = (cc - 2 * tc + twice, cp - tc - tp + twice, cs - ts);
                (pp, ps) = (pp - 2 * tp + twice, ps - ts);
            }
            smooth[i] = p.Value - (hc * lc + hp * lp + hs * ls);
            var known = hc * hc * cc + hp * hp * pp + hs * hs * ss + 2 * (hc * hp * cp + hc * hs * cs + hp * hs * ps);
            sigma[i] = Math.Sqrt(Math.Max(p.Variance - known, 0));
            // Back over the step: Fᵀ·λ and Fᵀ·Λ·F.
            var (a, b, c, d) = (step.A, step.B, step.C, step.D);
            (lp, ls) = (a * lp + c * ls, b * lp + d * ls);
            (cp, cs) = (a * cp + c * cs, b * cp + d * cs);
            (pp, ps, ss) = (
                a * a * pp + 2 * a * c * ps + c * c * ss,
                a * b * pp + (a * d + b * c) * ps + c * d * ss,
                b * b * pp + 2 * b * d * ps + d * d * ss
            );
        }
        return likelihood;
    }
}
