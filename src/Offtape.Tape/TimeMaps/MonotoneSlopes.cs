namespace Offtape.Tape;

/// <summary>
/// Slopes for a piecewise cubic that is smooth and never turns back. Where neighbouring secants are alike (every real wobble), the slope
/// is that of the polynomial through the seven nearest knots, so that the cubic errs by little more than a cubic must; where they are not
/// (a stop of the tape), it is the weighted harmonic mean of the two secants beside the knot, which looks no further than they do. Either is held inside
/// the monotonicity limit of F. N. Fritsch and R. E. Carlson, "Monotone piecewise cubic interpolation", SIAM J. Numer. Anal. 17(2), 1980;
/// the mean is that of F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5(2), 1984.
/// </summary>
internal static class MonotoneSlopes
{
    // Secants that differ by more than this factor belong to no smooth movement of tape between two knots.
    private const double LargestSmoothRatio = 1.5;

    internal static double[] Of(double[] x, double[] y)
    {
        var count = x.Length;
        var secant = new double[count - 1];
        for (var i = 0; i < secant.Length; i++)
            secant[i] = (y[i + 1] - y[i]) / (x[i + 1] - x[i]);
        var slope = new double[count];
        if (count == 2)
        {
            slope[0] = slope[1] = secant[0];
            return slope;
        }
        for (var i = 0; i < count; i++)
            slope[i] = At(x, y, secant, i);
        return slope;
    }

    private static double At(double[] x, double[] y, double[] secant, int i)
    {
        var last = x.Length - 1;
        // The seven knots nearest to knot i, or all there are.
        var from = Math.Clamp(i - 3, 0, Math.Max(0, last - 6));
        var to = Math.Min(from + 6, last);
        var left = secant[Math.Max(0, i - 1)];
        var right = secant[Math.Min(last - 1, i)];
        double value;
        if (IsSmooth(secant, from, to))
            value = PolynomialSlope(x, y, from, to, i);
        else if (i == 0 || i == last)
            value = left;
        else
        {
            var (hl, hr) = (x[i] - x[i - 1], x[i + 1] - x[i]);
            value = 3 * (hl + hr) / ((2 * hr + hl) / left + (hr + 2 * hl) / right);
        }
        var sign = Math.Sign(left);
        var limit = 3 * Math.Min(Math.Abs(left), Math.Abs(right));
        return sign * Math.Clamp(sign * value, 0, limit);
    }

    private static bool IsSmooth(double[] secant, int from, int to)
    {
        var (least, most) = (double.PositiveInfinity, 0.0);
        for (var i = from; i < to; i++)
        {
            least = Math.Min(least, Math.Abs(secant[i]));
            most = Math.Max(most, Math.Abs(secant[i]));
        }
        return most <= least * LargestSmoothRatio;
    }

    /// <summary>The derivative at knot i of the polynomial through knots from..to, by Lagrange's formula on secants from knot i.</summary>
    private static double PolynomialSlope(double[] x, double[] y, int from, int to, int i)
    {
        // p'(x_i) = Σ_{j≠i} (y_j − y_i)/(x_j − x_i) · Π_{m≠i,j} (x_i − x_m)/(x_j − x_m)
        var sum = 0.0;
        for (var j = from; j <= to; j++)
        {
            if (j == i)
                continue;
            var weight = (y[j] - y[i]) / (x[j] - x[i]);
            for (var m = from; m <= to; m++)
            {
                if (m != i && m != j)
                    weight *= (x[i] - x[m]) / (x[j] - x[m]);
            }
            sum += weight;
        }
        return sum;
    }
}
