namespace Offtape.Signal;

/// <summary>Gaussian state of a <see cref="WanderSmoother"/>: level, slope and tremble, with their covariance.</summary>
internal readonly struct WanderState
{
    internal double Level { get; init; }
    internal double Slope { get; init; }
    internal double Tremble { get; init; }
    internal double Pll { get; init; }
    internal double Pls { get; init; }
    internal double Plt { get; init; }
    internal double Pss { get; init; }
    internal double Pst { get; init; }
    internal double Ptt { get; init; }

    /// <summary>Variance of level and tremble together: what is measured.</summary>
    internal double Variance => Pll + 2 * Plt + Ptt;

    internal WanderState Predicted(double step, double decay, double qll, double qls, double qss, double qtt) =>
        new()
        {
            Level = Level + step * Slope,
            Slope = Slope,
            Tremble = decay * Tremble,
            Pll = Pll + 2 * step * Pls + step * step * Pss + qll,
            Pls = Pls + step * Pss + qls,
            Plt = decay * (Plt + step * Pst),
            Pss = Pss + qss,
            Pst = decay * Pst,
            Ptt = decay * decay * Ptt + qtt,
        };

    internal WanderState Updated(double innovation, double variance)
    {
        var (hl, hs, ht) = (Pll + Plt, Pls + Pst, Plt + Ptt);
        var (kl, ks, kt) = (hl / variance, hs / variance, ht / variance);
        return new()
        {
            Level = Level + kl * innovation,
            Slope = Slope + ks * innovation,
            Tremble = Tremble + kt * innovation,
            Pll = Pll - kl * hl,
            Pls = Pls - kl * hs,
            Plt = Plt - kl * ht,
            Pss = Pss - ks * hs,
            Pst = Pst - ks * ht,
            Ptt = Ptt - kt * ht,
        };
    }

    /// <summary>One step back: x + G·(x₊ − x̂₊), P + G·(P₊ − P̂₊)·Gᵀ with G = P·Fᵀ·P̂₊⁻¹.</summary>
    internal static WanderState Smoothed(in WanderState here, in WanderState predicted, in WanderState after, double step, double decay)
    {
        // P·Fᵀ, F = [1 h 0; 0 1 0; 0 0 a].
        var (m11, m12, m13) = (here.Pll + step * here.Pls, here.Pls, decay * here.Plt);
        var (m21, m22, m23) = (here.Pls + step * here.Pss, here.Pss, decay * here.Pst);
        var (m31, m32, m33) = (here.Plt + step * here.Pst, here.Pst, decay * here.Ptt);
        // Inverse of the predicted covariance by cofactors, scaled to unit diagonal first: its entries are of very different size.
        var (sl, ss, st) = (
            1 / Math.Sqrt(predicted.Pll + 1e-40),
            1 / Math.Sqrt(predicted.Pss + 1e-40),
            1 / Math.Sqrt(predicted.Ptt + 1e-40)
        );
        var (a, b, c) = (1 + 1e-12, predicted.Pls * sl * ss, predicted.Plt * sl * st);
        var e = predicted.Pst * ss * st;
        var (c11, c12, c13) = (a * a - e * e, c * e - b * a, b * e - a * c);
        var determinant = a * c11 + b * c12 + c * c13;
        var (c22, c23, c33) = (a * a - c * c, b * c - a * e, a * a - b * b);
        var (i11, i12, i13) = (c11 / determinant * sl * sl, c12 / determinant * sl * ss, c13 / determinant * sl * st);
        var (i22, i23, i33) = (c22 / determinant * ss * ss, c23 / determinant * ss * st, c33 / determinant * st * st);
        var (g11, g12, g13) = Row(m11, m12, m13);
        var (g21, g22, g23) = Row(m21, m22, m23);
        var (g31, g32, g33) = Row(m31, m32, m33);
        var (dl, ds, dt) = (after.Level - predicted.Level, after.Slope - predicted.Slope, after.Tremble - predicted.Tremble);
        var (ell, els, elt) = (after.Pll - predicted.Pll, after.Pls - predicted.Pls, after.Plt - predicted.Plt);
        var (ess, est, ett) = (after.Pss - predicted.Pss, after.Pst - predicted.Pst, after.Ptt - predicted.Ptt);
        return new()
        {
            Level = here.Level + g11 * dl + g12 * ds + g13 * dt,
            Slope = here.Slope + g21 * dl + g22 * ds + g23 * dt,
            Tremble = here.Tremble + g31 * dl + g32 * ds + g33 * dt,
            Pll = here.Pll + Form(g11, g12, g13, g11, g12, g13),
            Pls = here.Pls + Form(g11, g12, g13, g21, g22, g23),
            Plt = here.Plt + Form(g11, g12, g13, g31, g32, g33),
            Pss = here.Pss + Form(g21, g22, g23, g21, g22, g23),
            Pst = here.Pst + Form(g21, g22, g23, g31, g32, g33),
            Ptt = here.Ptt + Form(g31, g32, g33, g31, g32, g33),
        };

        (double, double, double) Row(double x, double y, double z) =>
            (x * i11 + y * i12 + z * i13, x * i12 + y * i22 + z * i23, x * i13 + y * i23 + z * i33);

        double Form(double x1, double y1, double z1, double x2, double y2, double z2) =>
            x1 * (ell * x2 + els * y2 + elt * z2) + y1 * (els * x2 + ess * y2 + est * z2) + z1 * (elt * x2 + est * y2 + ett * z2);
    }
}
