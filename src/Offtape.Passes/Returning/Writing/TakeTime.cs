using Offtape.Passes.Following;
using Offtape.Signal;

namespace Offtape.Passes.Writing;

/// <summary>When in the capture each moment of a finished take is read: the chosen retiming of its path.</summary>
internal sealed class TakeTime
{
    private const double KnotSeconds = 0.005;
    private const double KnownSeconds = 1e-3;

    private readonly FollowedTake _take;
    private readonly bool _asPrinted;
    private readonly double _offset;
    private readonly double _slope;
    private readonly double _firstKnot;
    private readonly EvenSpline? _departures;
    private readonly double _lastPosition;
    private readonly (double Seconds, double JumpSeconds)[] _jumps;

    private TakeTime(
        FollowedTake take,
        bool asPrinted,
        (double Offset, double Slope) line,
        double firstKnot,
        double[]? departures,
        (double, double)[] jumps
    )
    {
        (_take, _asPrinted, _firstKnot, _jumps) = (take, asPrinted, firstKnot, jumps);
        (_offset, _slope) = line;
        _departures = departures is null ? null : new EvenSpline(departures);
        _lastPosition = (departures?.Length ?? 1) - 1;
    }

    /// <summary>One constant ratio: then reading is a straight line.</summary>
    internal bool IsStraight => _departures is null;

    /// <summary>Seconds of the take at which reading leaps over a stop of the tape.</summary>
    internal IEnumerable<double> LeapSeconds => _jumps.Select(j => _asPrinted ? j.Seconds : _take.ToSourceFileSeconds(j.Seconds));

    /// <summary>Capture seconds at a time of the take (0 = the source's beginning as it is written).</summary>
    internal double CaptureAt(double takeSeconds) => CaptureAt(takeSeconds, takeSeconds);

    /// <summary>As <see cref="CaptureAt(double)"/>, on the side of a leap that another moment is on.</summary>
    internal double CaptureAt(double takeSeconds, double sideOfSeconds)
    {
        var tracker = _asPrinted ? takeSeconds : _take.ToTrackerSeconds(takeSeconds);
        var side = _asPrinted ? sideOfSeconds : _take.ToTrackerSeconds(sideOfSeconds);
        var capture = _offset + _slope * tracker;
        if (_departures is null)
            return capture;
        // Beyond the ends along the line: where the sound has faded into hiss it serves better than the path.
        var position = Math.Clamp((tracker - _firstKnot) / KnotSeconds, 0, _lastPosition);
        capture += _departures.At(position);
        foreach (var (seconds, jump) in _jumps)
            capture += side >= seconds ? jump : 0;
        return capture;
    }

    /// <summary>How far from the grid a moment of the source still lies, at most, where the map knows it; seconds of the source's time.</summary>
    internal double GridDistanceSeconds()
    {
        double worst = 0;
        for (var s = _take.FirstHeard; s <= _take.LastHeard; s += 2 * KnotSeconds)
        {
            if (
                _take.Curve.SigmaAt(s) > KnownSeconds
                || _take.Stands.Any(t => s > t.FromSource - KnotSeconds && s < t.ToSource + KnotSeconds)
            )
                continue;
            var seconds = _asPrinted ? s : _take.ToSourceFileSeconds(s);
            worst = Math.Max(worst, Math.Abs(_take.Curve.CaptureAt(s) - CaptureAt(seconds)) * _take.RelativeSpeed);
        }
        return _asPrinted ? worst : worst * _take.NominalSpeed;
    }

    /// <summary>What lock leaves at most, 19 times in 20, where the map knows anything: twice its deviation.</summary>
    internal static double LockDistanceSeconds(FollowedTake take)
    {
        var known = new List<double>();
        for (var s = take.FirstHeard; s <= take.LastHeard; s += 2 * KnotSeconds)
        {
            if (take.Curve.SigmaAt(s) < KnownSeconds)
                known.Add(2 * take.Curve.SigmaAt(s));
        }
        known.Sort();
        return known.Count == 0 ? KnownSeconds : known[(int)(0.95 * (known.Count - 1))];
    }

    /// <summary>The retiming of a take.</summary>
    /// <param name="take">Along its fine map.</param>
    /// <param name="handling">What a hand did to it.</param>
    /// <param name="retiming">Which; shift is read as fit.</param>
    /// <param name="cornerHz">Of steady.</param>
    /// <param name="flattenRides">Steady takes rides out too.</param>
    /// <param name="asPrinted">Another tape speed or direction is left as it is heard.</param>
    internal static TakeTime Of(
        FollowedTake take,
        TapeHandling handling,
        Retiming retiming,
        double cornerHz,
        bool flattenRides,
        bool asPrinted
    )
    {
        var (first, last) = (take.Curve.FirstSource, take.Curve.LastSource);
        var count = Math.Max(2, (int)Math.Ceiling((last - first) / KnotSeconds) + 1);
        var path = new double[count];
        for (var i = 0; i < count; i++)
            path[i] = WithoutStands(take, handling, Math.Min(first + i * KnotSeconds, last));
        var line = FitLine(take, s => WithoutStands(take, handling, s));
        if (retiming is Retiming.Fit or Retiming.Shift)
            return new TakeTime(take, asPrinted, line, 0, null, []);
        for (var i = 0; i < count; i++)
            path[i] -= line.Offset + line.Slope * Math.Min(first + i * KnotSeconds, last);
        if (retiming == Retiming.Steady)
            path = Steady(path, first, handling, cornerHz, flattenRides);
        var jumps = handling.Stands.Select(t => (0.5 * (t.FromSource + t.ToSource), JumpOf(take, handling, t))).ToArray();
        return new TakeTime(take, asPrinted, line, first, path, jumps);
    }

    /// <summary>The path as it would be had the tape not stood: across a stop it goes on at the take's usual rate.</summary>
    private static double WithoutStands(FollowedTake take, TapeHandling handling, double s)
    {
        var capture = take.Curve.CaptureAt(s);
        foreach (var stand in handling.Stands)
        {
            if (s >= stand.ToSource)
                capture -= JumpOf(take, handling, stand);
            else if (s > stand.FromSource)
                capture =
                    take.Curve.CaptureAt(stand.FromSource)
                    + (s - stand.FromSource) * handling.MiddleRate
                    - JumpsBefore(take, handling, stand);
        }
        return capture;
    }

    private static double JumpsBefore(FollowedTake take, TapeHandling handling, TapeStand stand) =>
        handling.Stands.Where(t => t.ToSource <= stand.FromSource).Sum(t => JumpOf(take, handling, t));

    private static double JumpOf(FollowedTake take, TapeHandling handling, TapeStand stand) =>
        take.Curve.CaptureAt(stand.ToSource)
        - take.Curve.CaptureAt(stand.FromSource)
        - handling.MiddleRate * (stand.ToSource - stand.FromSource);

    /// <summary>The slow part of the departures; a ride is kept by reading on at the usual rate through it.</summary>
    private static double[] Steady(double[] departures, double first, TapeHandling handling, double cornerHz, bool flattenRides)
    {
        var kept = (double[])departures.Clone();
        if (!flattenRides)
        {
            foreach (var ride in handling.Rides)
            {
                var (from, to) = (Index(ride.FromSeconds), Index(ride.ToSeconds));
                var slope = (kept[to] - kept[from] - ride.GainedSeconds) / Math.Max(1, to - from);
                for (var i = from + 1; i < to; i++)
                    kept[i] = kept[from] + slope * (i - from);
                for (var i = to; i < kept.Length; i++)
                    kept[i] -= ride.GainedSeconds;
            }
        }
        var slow = new double[kept.Length];
        SlowPart.Of(kept, KnotSeconds, cornerHz, slow);
        return slow;

        int Index(double seconds) => Math.Clamp((int)Math.Round((seconds - first) / KnotSeconds), 0, departures.Length - 1);
    }

    /// <summary>
    /// The straight line that holds the tempo: least squares over the heard stretch, so that what one moment gains another loses.
    /// </summary>
    private static (double Offset, double Slope) FitLine(FollowedTake take, Func<double, double> captureAt)
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
            var c = captureAt(s);
            var sigma = take.Curve.SigmaAt(s);
            var w = 1 / (sigma * sigma + 1e-9);
            (sumW, sumS, sumC, sumSs, sumSc) = (sumW + w, sumS + w * s, sumC + w * c, sumSs + w * s * s, sumSc + w * s * c);
        }
        var (meanS, meanC) = (sumS / sumW, sumC / sumW);
        var variance = sumSs / sumW - meanS * meanS;
        var slope = variance > 1e-12 ? (sumSc / sumW - meanS * meanC) / variance : 1 / take.RelativeSpeed;
        return (meanC - slope * meanS, slope);
    }
}
