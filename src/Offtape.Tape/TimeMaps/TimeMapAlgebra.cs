namespace Offtape.Tape;

/// <summary>New maps made from maps.</summary>
public static class TimeMapAlgebra
{
    /// <summary>
    /// The map that leads through both: <c>outer.Compose(inner).CaptureAt(x) = outer.CaptureAt(inner.CaptureAt(x))</c> at every knot of
    /// either, and to the accuracy of a map between them. It covers the source seconds of <paramref name="inner"/>.
    /// </summary>
    public static TimeMap Compose(this TimeMap outer, TimeMap inner)
    {
        var (first, last) = (inner.SourceSeconds[0], inner.SourceSeconds[^1]);
        var knots = new List<double>(inner.SourceSeconds);
        foreach (var between in outer.SourceSeconds)
        {
            var source = inner.SourceAt(between);
            if (source > first && source < last)
                knots.Add(source);
        }
        knots.Sort();
        return Through(knots, outer, inner);
    }

    /// <summary>The map read the other way: source seconds where capture seconds were. Exact at the knots.</summary>
    public static TimeMap Inverse(this TimeMap map)
    {
        var sigma = new double[map.KnotCount];
        for (var i = 0; i < sigma.Length; i++)
            sigma[i] = map.SigmaSeconds[i] / Math.Max(1e-12, Math.Abs(map.RateAt(map.SourceSeconds[i])));
        var (source, capture) = ((double[])map.CaptureSeconds.Clone(), (double[])map.SourceSeconds.Clone());
        if (map.IsReversed)
        {
            Array.Reverse(source);
            Array.Reverse(capture);
            Array.Reverse(sigma);
        }
        return new TimeMap(source, capture, sigma);
    }

    /// <summary>The same curve by knots at most <paramref name="stepSeconds"/> of source apart, the ends kept: for files and plots.</summary>
    public static TimeMap Resampled(this TimeMap map, double stepSeconds)
    {
        var (first, last) = (map.SourceSeconds[0], map.SourceSeconds[^1]);
        var steps = Math.Max(1, (int)Math.Ceiling((last - first) / stepSeconds * (1 - 1e-12)));
        var source = new double[steps + 1];
        var capture = new double[steps + 1];
        var sigma = new double[steps + 1];
        for (var i = 0; i <= steps; i++)
        {
            source[i] = i == steps ? last : first + (last - first) * i / steps;
            capture[i] = map.CaptureAt(source[i]);
            sigma[i] = map.SigmaAt(source[i]);
        }
        return new TimeMap(source, capture, sigma);
    }

    /// <summary>The same curve with other zero points: adds to every source second and to every capture second.</summary>
    public static TimeMap Shifted(this TimeMap map, double addSourceSeconds, double addCaptureSeconds) =>
        new(
            Array.ConvertAll(map.SourceSeconds, s => s + addSourceSeconds),
            Array.ConvertAll(map.CaptureSeconds, c => c + addCaptureSeconds),
            map.SigmaSeconds
        );

    private static TimeMap Through(List<double> knots, TimeMap outer, TimeMap inner)
    {
        var source = new List<double>(knots.Count);
        var capture = new List<double>(knots.Count);
        var sigma = new List<double>(knots.Count);
        var direction = outer.IsReversed == inner.IsReversed ? 1 : -1;
        foreach (var x in knots)
        {
            var between = inner.CaptureAt(x);
            var y = outer.CaptureAt(between);
            // Knots of both maps that fall together differ by rounding only: one of them is enough.
            if (source.Count > 0 && !(x > source[^1] && direction * (y - capture[^1]) > 0))
                continue;
            source.Add(x);
            capture.Add(y);
            sigma.Add(double.Hypot(outer.SigmaAt(between), outer.RateAt(between) * inner.SigmaAt(x)));
        }
        return new TimeMap([.. source], [.. capture], [.. sigma]);
    }
}
