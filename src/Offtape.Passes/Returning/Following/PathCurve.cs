namespace Offtape.Passes.Following;

/// <summary>A tracked path turned round: capture seconds as a function of source seconds, smooth, with its sigma.</summary>
internal sealed class PathCurve
{
    private readonly double[] _source;
    private readonly double[] _capture;
    private readonly double[] _sigma;

    private PathCurve(double[] source, double[] capture, double[] sigma) => (_source, _capture, _sigma) = (source, capture, sigma);

    internal double FirstSource => _source[0];

    internal double LastSource => _source[^1];

    internal int Count => _source.Length;

    /// <summary>Knots strictly rising in source time: where the tape stood still, only the first one stays.</summary>
    internal static PathCurve? From(TrackedPath path)
    {
        var (source, capture, sigma) = (new List<double>(), new List<double>(), new List<double>());
        for (var i = 0; i < path.SourceSeconds.Length; i++)
        {
            if (source.Count > 0 && path.SourceSeconds[i] <= source[^1] + 1e-5)
                continue;
            source.Add(path.SourceSeconds[i]);
            capture.Add(path.CaptureSeconds[i]);
            sigma.Add(path.SigmaSeconds[i] / Math.Max(path.Speed[i], 0.1));
        }
        return source.Count < 2 ? null : new PathCurve([.. source], [.. capture], [.. sigma]);
    }

    /// <summary>A curve through knots that rise strictly in source time; the arrays are kept.</summary>
    internal static PathCurve Of(double[] source, double[] capture, double[] sigma) => new(source, capture, sigma);

    /// <summary>The same curve, heard later by a constant.</summary>
    internal PathCurve Shifted(double seconds) => new(_source, [.. _capture.Select(c => c + seconds)], _sigma);

    /// <summary>Capture seconds at a source time; beyond the ends along the slope of the nearest second.</summary>
    internal double CaptureAt(double sourceSeconds)
    {
        if (sourceSeconds <= _source[0])
            return _capture[0] + (sourceSeconds - _source[0]) * EndSlope(0, 1);
        if (sourceSeconds >= _source[^1])
            return _capture[^1] + (sourceSeconds - _source[^1]) * EndSlope(_source.Length - 1, -1);
        var i = Index(sourceSeconds);
        var width = _source[i + 1] - _source[i];
        var f = (sourceSeconds - _source[i]) / width;
        var (slopeA, slopeB) = (SlopeAt(i) * width, SlopeAt(i + 1) * width);
        var (a, b) = (_capture[i], _capture[i + 1]);
        // Cubic Hermite through the knots with central slopes.
        var (f2, f3) = (f * f, f * f * f);
        return a * (2 * f3 - 3 * f2 + 1) + slopeA * (f3 - 2 * f2 + f) + b * (3 * f2 - 2 * f3) + slopeB * (f3 - f2);
    }

    /// <summary>The source time heard at a capture second, to a microsecond, by bisection (the curve rises).</summary>
    internal double SourceAt(double captureSeconds)
    {
        var (low, high) = (_source[0] - 10, _source[^1] + 10);
        while (high - low > 1e-6)
        {
            var middle = 0.5 * (low + high);
            (low, high) = CaptureAt(middle) < captureSeconds ? (middle, high) : (low, middle);
        }
        return 0.5 * (low + high);
    }

    internal double SigmaAt(double sourceSeconds)
    {
        if (sourceSeconds <= _source[0])
            return _sigma[0];
        if (sourceSeconds >= _source[^1])
            return _sigma[^1];
        var i = Index(sourceSeconds);
        var f = (sourceSeconds - _source[i]) / (_source[i + 1] - _source[i]);
        return _sigma[i] + f * (_sigma[i + 1] - _sigma[i]);
    }

    private int Index(double sourceSeconds)
    {
        var i = Array.BinarySearch(_source, sourceSeconds);
        return Math.Clamp(i >= 0 ? i : ~i - 1, 0, _source.Length - 2);
    }

    private double SlopeAt(int i)
    {
        var (before, after) = (Math.Max(0, i - 1), Math.Min(_source.Length - 1, i + 1));
        return (_capture[after] - _capture[before]) / (_source[after] - _source[before]);
    }

    private double EndSlope(int end, int direction)
    {
        var other = end;
        while (other + direction >= 0 && other + direction < _source.Length && Math.Abs(_source[other] - _source[end]) < 1)
            other += direction;
        return (_capture[end] - _capture[other]) / (_source[end] - _source[other]);
    }
}
