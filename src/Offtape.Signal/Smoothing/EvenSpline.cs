namespace Offtape.Signal;

/// <summary>
/// The cubic spline through values on an even grid, with continuous second derivative; at both ends the third derivative of the outermost
/// points goes on (de Boor, A Practical Guide to Splines, 1978, chapter IV: not-a-knot). Beyond the ends it goes on straight.
/// </summary>
public sealed class EvenSpline
{
    private readonly double[] _values;
    private readonly double[] _slopes;

    /// <param name="values">At 0, 1, 2 …; at least two. Kept, not copied.</param>
    public EvenSpline(double[] values)
    {
        if (values.Length < 2)
            throw new ArgumentException("At least two values.", nameof(values));
        _values = values;
        _slopes = Slopes(values);
    }

    /// <summary>The value at a place of the grid, whole numbers being the points.</summary>
    public double At(double position)
    {
        var last = _values.Length - 1;
        if (position <= 0)
            return _values[0] + position * _slopes[0];
        if (position >= last)
            return _values[last] + (position - last) * _slopes[last];
        var i = Math.Min((int)position, last - 1);
        var f = position - i;
        var rise = _values[i + 1] - _values[i];
        var (left, right) = (_slopes[i] - rise, _slopes[i + 1] - rise);
        return _values[i] + f * rise + f * (1 - f) * ((1 - f) * left - f * right);
    }

    private static double[] Slopes(double[] v)
    {
        var n = v.Length;
        var slopes = new double[n];
        if (n < 4)
        {
            for (var i = 0; i < n; i++)
            {
                var (a, b) = (Math.Max(0, i - 1), Math.Min(n - 1, i + 1));
                slopes[i] = (v[b] - v[a]) / (b - a);
            }
            return slopes;
        }
        // s[i−1] + 4·s[i] + s[i+1] = 3·(v[i+1] − v[i−1]) inside; s[0] + 2·s[1] = ½·(−5·v[0] + 4·v[1] + v[2]) at the end, and mirrored.
        var (ratio, right) = (new double[n], new double[n]);
        (ratio[0], right[0]) = (2, 0.5 * (-5 * v[0] + 4 * v[1] + v[2]));
        for (var i = 1; i < n - 1; i++)
        {
            var pivot = 4 - ratio[i - 1];
            ratio[i] = 1 / pivot;
            right[i] = (3 * (v[i + 1] - v[i - 1]) - right[i - 1]) / pivot;
        }
        var end = 0.5 * (5 * v[n - 1] - 4 * v[n - 2] - v[n - 3]);
        slopes[n - 1] = (end - 2 * right[n - 2]) / (1 - 2 * ratio[n - 2]);
        for (var i = n - 2; i >= 0; i--)
            slopes[i] = right[i] - ratio[i] * slopes[i + 1];
        return slopes;
    }
}
