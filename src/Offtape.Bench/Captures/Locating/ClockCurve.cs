using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>
/// Draws a clock through places that lie at uneven distances and are each off by a little: the mean speed, and what the places are late
/// against it as a cubic that never overshoots them, laid down at even steps. A time map's own slopes are those of a polynomial through
/// seven places, which uneven ones with errors would throw about.
/// </summary>
/// <remarks>F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5(2), 1984: the weighted harmonic mean of neighbouring slopes.</remarks>
internal static class ClockCurve
{
    private const double StepSeconds = 0.05;

    /// <param name="send">Rising, at least two.</param>
    /// <param name="capture">Rising, one for each.</param>
    internal static TimeMap Through(IReadOnlyList<double> send, IReadOnlyList<double> capture)
    {
        var rate = (capture[^1] - capture[0]) / (send[^1] - send[0]);
        double[] late = [.. send.Select((t, i) => capture[i] - capture[0] - rate * (t - send[0]))];
        var slopes = Slopes(send, late);
        var steps = Math.Max(1, (int)Math.Round((send[^1] - send[0]) / StepSeconds));
        var (x, y) = (new double[steps + 1], new double[steps + 1]);
        for (int i = 0, k = 0; i <= steps; i++)
        {
            x[i] = i == steps ? send[^1] : send[0] + i * (send[^1] - send[0]) / steps;
            while (k < send.Count - 2 && x[i] >= send[k + 1])
                k++;
            y[i] = capture[0] + rate * (x[i] - send[0]) + At(send[k], send[k + 1], late[k], late[k + 1], slopes[k], slopes[k + 1], x[i]);
        }
        return new TimeMap(x, y);
    }

    private static double[] Slopes(IReadOnlyList<double> x, IReadOnlyList<double> y)
    {
        var last = x.Count - 1;
        double Secant(int i) => (y[i + 1] - y[i]) / (x[i + 1] - x[i]);
        var slopes = new double[x.Count];
        (slopes[0], slopes[last]) = (Secant(0), Secant(last - 1));
        for (var i = 1; i < last; i++)
        {
            var (before, behind) = (Secant(i - 1), Secant(i));
            var (left, right) = (x[i] - x[i - 1], x[i + 1] - x[i]);
            // At a turning point level: the cubic turns there and nowhere else.
            slopes[i] = before * behind > 0 ? 3 * (left + right) / ((2 * right + left) / before + (right + 2 * left) / behind) : 0;
        }
        return slopes;
    }

    // Hermite's cubic.
    private static double At(double x0, double x1, double y0, double y1, double slope0, double slope1, double x)
    {
        var h = x1 - x0;
        var s = (x - x0) / h;
        var rise = y1 - y0;
        return y0 + s * rise + s * (1 - s) * ((1 - s) * (slope0 * h - rise) - s * (slope1 * h - rise));
    }
}
