namespace Offtape.Bench;

/// <summary>
/// Curves of a staircase between its steps: a cubic through the four nearest of them (Lagrange). Steps of two decibels and curves as smooth as
/// those of tape leave it within thousandths of a decibel.
/// </summary>
internal static class LevelCurve
{
    internal static double At(double[] x, double[] y, double place)
    {
        var first = First(x, place);
        var count = Math.Min(4, x.Length);
        var sum = 0.0;
        for (var i = first; i < first + count; i++)
        {
            var weight = 1.0;
            for (var j = first; j < first + count; j++)
            {
                if (j != i)
                    weight *= (place - x[j]) / (x[i] - x[j]);
            }
            sum += weight * y[i];
        }
        return sum;
    }

    /// <summary>Where the curve first rises through a value; null where it does not.</summary>
    internal static double? Rises(double[] x, double[] y, double value)
    {
        for (var i = 1; i < x.Length; i++)
        {
            if (!(y[i - 1] < value && y[i] >= value))
                continue;
            var (low, high) = (x[i - 1], x[i]);
            for (var step = 0; step < 40; step++)
            {
                var middle = (low + high) / 2;
                if (At(x, y, middle) < value)
                    low = middle;
                else
                    high = middle;
            }
            return (low + high) / 2;
        }
        return null;
    }

    /// <summary>Slope about a place, over a fifth of the units of x.</summary>
    internal static double SlopeAt(double[] x, double[] y, double place) => (At(x, y, place + 0.1) - At(x, y, place - 0.1)) / 0.2;

    private static int First(double[] x, double place)
    {
        var after = Array.FindIndex(x, v => v > place);
        if (after < 0)
            after = x.Length - 1;
        return Math.Clamp(after - 2, 0, Math.Max(0, x.Length - 4));
    }
}
