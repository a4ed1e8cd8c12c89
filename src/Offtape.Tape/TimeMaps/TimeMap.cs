namespace Offtape.Tape;

/// <summary>
/// When in the capture each moment of the source is heard: an immutable curve through knots, capture seconds against source seconds,
/// strictly rising, or strictly falling where the sound is heard backwards. Between knots it is a cubic with continuous slope that never
/// turns back (see <see cref="MonotoneSlopes"/>); beyond the end knots it goes on straight with the end slope.
/// </summary>
/// <remarks>
/// Accuracy for a wobble that moves the sound by ±A at f Hz, knots h apart, u = 2πfh: within A·(u⁴/384 + u⁶/560) between knots, the first
/// and last three excepted (A·(u⁴/384 + u⁶/28)). Flutter of 0.1 % at 100 Hz (A = 1.6 µs) comes out within 0.03 µs with knots 2 ms apart; at
/// 5 ms knots wobble of 0.1 % up to 40 Hz does within 0.1 µs. Safe to share between threads.
/// </remarks>
public sealed class TimeMap
{
    private readonly double[] _source;
    private readonly double[] _capture;
    private readonly double[] _slope;
    private readonly double _direction;

    /// <param name="sourceSeconds">Strictly rising, at least two.</param>
    /// <param name="captureSeconds">Strictly rising or strictly falling, one for each source second.</param>
    /// <param name="sigmaSeconds">Standard deviation of each capture second, 0 or more; null where the map is exact.</param>
    /// <exception cref="ArgumentException">A list is too short, of another length, not finite, or not monotonic.</exception>
    public TimeMap(double[] sourceSeconds, double[] captureSeconds, double[]? sigmaSeconds = null)
    {
        if (FindFlaw(sourceSeconds, captureSeconds, sigmaSeconds) is { } flaw)
            throw new ArgumentException("A time map " + flaw + ".", nameof(captureSeconds));
        _source = (double[])sourceSeconds.Clone();
        _capture = (double[])captureSeconds.Clone();
        SigmaSeconds = sigmaSeconds is null ? new double[_source.Length] : (double[])sigmaSeconds.Clone();
        _slope = MonotoneSlopes.Of(_source, _capture);
        _direction = _capture[^1] > _capture[0] ? 1 : -1;
    }

    /// <summary>Source seconds of the knots, rising. Not to be written to.</summary>
    public double[] SourceSeconds => _source;

    /// <summary>Capture seconds of the knots. Not to be written to.</summary>
    public double[] CaptureSeconds => _capture;

    /// <summary>Standard deviation of each knot's capture second; zeros where the map is exact. Not to be written to.</summary>
    public double[] SigmaSeconds { get; }

    public int KnotCount => _source.Length;

    /// <summary>The sound is heard backwards: capture seconds fall as source seconds rise.</summary>
    public bool IsReversed => _direction < 0;

    /// <summary>Capture seconds per source second from the first knot to the last; negative when reversed.</summary>
    public double MeanRate => (_capture[^1] - _capture[0]) / (_source[^1] - _source[0]);

    /// <summary>A constant speed.</summary>
    /// <param name="startCaptureSeconds">When source second 0 is heard.</param>
    /// <param name="rateCapturePerSource">Capture seconds per source second, not 0; negative is backwards.</param>
    /// <param name="lengthSeconds">Source seconds that the map covers, above 0.</param>
    public static TimeMap Constant(double startCaptureSeconds, double rateCapturePerSource, double lengthSeconds) =>
        new([0, lengthSeconds], [startCaptureSeconds, startCaptureSeconds + rateCapturePerSource * lengthSeconds]);

    /// <summary>When the moment of the source is heard, in capture seconds.</summary>
    public double CaptureAt(double sourceSeconds) => CaptureIn(FindSource(sourceSeconds), sourceSeconds);

    /// <summary>Many moments at equal steps, faster than one by one and equal to them.</summary>
    public void CaptureAt(double firstSourceSeconds, double stepSeconds, Span<double> captureSeconds)
    {
        var segment = FindSource(firstSourceSeconds);
        for (var i = 0; i < captureSeconds.Length; i++)
        {
            var source = firstSourceSeconds + i * stepSeconds;
            while (segment < _source.Length - 2 && source >= _source[segment + 1])
                segment++;
            while (segment > 0 && source < _source[segment])
                segment--;
            captureSeconds[i] = CaptureIn(segment, source);
        }
    }

    /// <summary>Capture seconds per source second at a moment of the source; negative when reversed.</summary>
    public double RateAt(double sourceSeconds)
    {
        if (sourceSeconds <= _source[0])
            return _slope[0];
        if (sourceSeconds >= _source[^1])
            return _slope[^1];
        var k = FindSource(sourceSeconds);
        var h = _source[k + 1] - _source[k];
        var s = (sourceSeconds - _source[k]) / h;
        var secant = (_capture[k + 1] - _capture[k]) / h;
        return _slope[k] * (1 - s) * (1 - 3 * s) + _slope[k + 1] * s * (3 * s - 2) + 6 * secant * s * (1 - s);
    }

    /// <summary>Which moment of the source is heard at a moment of the capture: the exact inverse of <see cref="CaptureAt(double)"/>.</summary>
    public double SourceAt(double captureSeconds)
    {
        if (_direction * (captureSeconds - _capture[0]) <= 0)
            return _source[0] + (captureSeconds - _capture[0]) / EndSlope(_slope[0]);
        if (_direction * (captureSeconds - _capture[^1]) >= 0)
            return _source[^1] + (captureSeconds - _capture[^1]) / EndSlope(_slope[^1]);
        var k = FindCapture(captureSeconds);
        return SolveIn(k, captureSeconds);
    }

    /// <summary>The standard deviation at a moment of the source, straight between knots and held beyond the ends.</summary>
    public double SigmaAt(double sourceSeconds)
    {
        if (sourceSeconds <= _source[0])
            return SigmaSeconds[0];
        if (sourceSeconds >= _source[^1])
            return SigmaSeconds[^1];
        var k = FindSource(sourceSeconds);
        var s = (sourceSeconds - _source[k]) / (_source[k + 1] - _source[k]);
        return SigmaSeconds[k] + s * (SigmaSeconds[k + 1] - SigmaSeconds[k]);
    }

    /// <summary>Why these lists are no time map, as the end of a sentence that begins with "a time map"; null when they are one.</summary>
    internal static string? FindFlaw(double[] source, double[] capture, double[]? sigma)
    {
        if (source.Length < 2)
            return "needs at least two knots";
        if (capture.Length != source.Length || sigma is not null && sigma.Length != source.Length)
            return $"has lists of different lengths ({source.Length}, {capture.Length}, {sigma?.Length ?? source.Length})";
        var direction = capture[^1] > capture[0] ? 1 : -1;
        for (var i = 0; i < source.Length; i++)
        {
            if (!double.IsFinite(source[i]) || !double.IsFinite(capture[i]))
                return $"holds a number that is not finite at entry {i}";
            if (sigma is not null && !(sigma[i] >= 0 && double.IsFinite(sigma[i])))
                return $"holds a standard deviation at entry {i} that is not a number from 0 up";
            if (i > 0 && !(source[i] > source[i - 1]))
                return $"has source seconds that do not rise at entry {i}";
            if (i > 0 && !(direction * (capture[i] - capture[i - 1]) > 0))
                return $"has capture seconds that stand still or turn back at entry {i}";
        }
        return null;
    }

    internal int FindSource(double sourceSeconds)
    {
        var found = Array.BinarySearch(_source, sourceSeconds);
        return Math.Clamp(found >= 0 ? found : ~found - 1, 0, _source.Length - 2);
    }

    internal double CaptureIn(int k, double sourceSeconds)
    {
        if (sourceSeconds < _source[0])
            return _capture[0] + _slope[0] * (sourceSeconds - _source[0]);
        if (sourceSeconds > _source[^1])
            return _capture[^1] + _slope[^1] * (sourceSeconds - _source[^1]);
        var h = _source[k + 1] - _source[k];
        return _capture[k] + Rise(k, (sourceSeconds - _source[k]) / h, h);
    }

    // The cubic of segment k above its left knot, s from 0 to 1; written about the secant so that a straight map stays exactly straight.
    private double Rise(int k, double s, double h)
    {
        var difference = _capture[k + 1] - _capture[k];
        var left = _slope[k] * h - difference;
        var right = _slope[k + 1] * h - difference;
        return s * difference + s * (1 - s) * ((1 - s) * left - s * right);
    }

    private int FindCapture(double captureSeconds)
    {
        var (low, high) = (0, _capture.Length - 1);
        while (high - low > 1)
        {
            var middle = (low + high) / 2;
            if (_direction * (captureSeconds - _capture[middle]) >= 0)
                low = middle;
            else
                high = middle;
        }
        return low;
    }

    // Newton's method held inside a shrinking bracket: the segment is monotonic, so there is one root.
    private double SolveIn(int k, double captureSeconds)
    {
        var h = _source[k + 1] - _source[k];
        var difference = _capture[k + 1] - _capture[k];
        var wanted = captureSeconds - _capture[k];
        var (low, high) = (0.0, 1.0);
        var s = Math.Clamp(wanted / difference, 0, 1);
        for (var i = 0; i < 60; i++)
        {
            var error = Rise(k, s, h) - wanted;
            if (error == 0)
                break;
            if (error * _direction > 0)
                high = s;
            else
                low = s;
            var left = _slope[k] * h;
            var right = _slope[k + 1] * h;
            var slope = left * (1 - s) * (1 - 3 * s) + right * s * (3 * s - 2) + 6 * difference * s * (1 - s);
            var next = s - error / slope;
            if (!(next > low && next < high))
                next = 0.5 * (low + high);
            if (Math.Abs(next - s) < 1e-16)
                break;
            s = next;
        }
        return _source[k] + s * h;
    }

    // A limited end slope may be zero; then the mean rate carries the line on, so that the inverse exists everywhere.
    private double EndSlope(double slope) => slope == 0 ? MeanRate : slope;
}
