using Offtape.Passes.Following;

namespace Offtape.Passes.Writing;

/// <summary>When in the capture each moment of a finished take is read: the chosen retiming of its path.</summary>
internal sealed class TakeTime
{
    // Where the sound has faded into hiss, at its ends, a line through the rest serves better than the path.
    private const double KnotSeconds = 0.005;

    private readonly FollowedTake _take;
    private readonly bool _asPrinted;
    private readonly double _offset;
    private readonly double _slope;
    private readonly double[]? _knots;
    private readonly double _firstKnot;

    private TakeTime(FollowedTake take, bool asPrinted, double offset, double slope, double[]? knots, double firstKnot) =>
        (_take, _asPrinted, _offset, _slope, _knots, _firstKnot) = (take, asPrinted, offset, slope, knots, firstKnot);

    /// <summary>One constant ratio: then reading is a straight line.</summary>
    internal bool IsStraight => _knots is null;

    /// <summary>Capture seconds at a time of the take (0 = the source's beginning as it is written).</summary>
    internal double CaptureAt(double takeSeconds)
    {
        var tracker = _asPrinted ? takeSeconds : _take.ToTrackerSeconds(takeSeconds);
        var straight = _offset + _slope * tracker;
        if (_knots is null)
            return straight;
        var position = (tracker - _firstKnot) / KnotSeconds;
        var i = (int)Math.Clamp(Math.Floor(position), 0, _knots.Length - 2);
        var f = Math.Clamp(position - i, 0, 1);
        // Catmull-Rom over the departures from the line: smooth speed, no corner at a knot.
        double At(int k) => _knots[Math.Clamp(k, 0, _knots.Length - 1)];
        var (a, b, c, d) = (At(i - 1), At(i), At(i + 1), At(i + 2));
        return straight + b + 0.5 * f * (c - a + f * (2 * a - 5 * b + 4 * c - d + f * (3 * (b - c) + d - a)));
    }

    internal static TakeTime Of(FollowedTake take, Retiming retiming, double cornerHz, bool asPrinted)
    {
        var (offset, slope) = FitLine(take);
        if (retiming is Retiming.Fit or Retiming.Shift)
            return new TakeTime(take, asPrinted, offset, slope, null, 0);
        var (first, last) = (take.Curve.FirstSource, take.Curve.LastSource);
        var count = Math.Max(2, (int)Math.Ceiling((last - first) / KnotSeconds) + 1);
        var departures = new double[count];
        for (var i = 0; i < count; i++)
        {
            var t = first + i * KnotSeconds;
            departures[i] = take.Curve.CaptureAt(Math.Min(t, last)) - (offset + slope * Math.Min(t, last));
        }
        if (retiming == Retiming.Steady)
            LowPass(departures, cornerHz);
        return new TakeTime(take, asPrinted, offset, slope, departures, first);
    }

    /// <summary>
    /// The straight line that holds the tempo: least squares over the heard stretch, so that what one moment gains another loses.
    /// </summary>
    internal static (double Offset, double Slope) FitLine(FollowedTake take)
    {
        var (first, last) = (take.FirstHeard, take.LastHeard);
        const int count = 400;
        double sumS = 0,
            sumC = 0,
            sumSs = 0,
            sumSc = 0,
            sumW = 0;
        for (var i = 0; i < count; i++)
        {
            var s = first + (last - first) * i / (count - 1);
            var c = take.Curve.CaptureAt(s);
            var sigma = take.Curve.SigmaAt(s);
            var w = 1 / (sigma * sigma + 1e-9);
            (sumW, sumS, sumC, sumSs, sumSc) = (sumW + w, sumS + w * s, sumC + w * c, sumSs + w * s * s, sumSc + w * s * c);
        }
        var (meanS, meanC) = (sumS / sumW, sumC / sumW);
        var variance = sumSs / sumW - meanS * meanS;
        var slope = variance > 1e-12 ? (sumSc / sumW - meanS * meanC) / variance : 1 / take.RelativeSpeed;
        return (meanC - slope * meanS, slope);
    }

    /// <summary>Zero-phase, two first-order passes each way; the ends held by reflection through the end point.</summary>
    private static void LowPass(double[] values, double cornerHz)
    {
        // Each pass runs both ways, twice: −3 dB of the four together at the corner.
        var pole = 2 * Math.PI * cornerHz / Math.Sqrt(Math.Pow(2, 0.25) - 1);
        var keep = Math.Exp(-pole * KnotSeconds);
        var pad = Math.Min(values.Length - 1, (int)(1 / (cornerHz * KnotSeconds)));
        var padded = new double[values.Length + 2 * pad];
        for (var i = 0; i < padded.Length; i++)
        {
            var k = i - pad;
            padded[i] =
                k < 0 ? 2 * values[0] - values[-k]
                : k >= values.Length ? 2 * values[^1] - values[2 * (values.Length - 1) - k]
                : values[k];
        }
        for (var pass = 0; pass < 2; pass++)
        {
            var state = padded[0];
            for (var i = 0; i < padded.Length; i++)
                padded[i] = state = padded[i] + keep * (state - padded[i]);
            state = padded[^1];
            for (var i = padded.Length - 1; i >= 0; i--)
                padded[i] = state = padded[i] + keep * (state - padded[i]);
        }
        Array.Copy(padded, pad, values, 0, values.Length);
    }
}
