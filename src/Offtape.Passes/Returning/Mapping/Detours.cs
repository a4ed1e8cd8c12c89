namespace Offtape.Passes.Mapping;

/// <summary>
/// Where a map leaves its way within a tenth of a second by more than this tape does elsewhere, and comes back as quickly, or never: what a
/// period slipped in a held note looks like, and no transport does.
/// </summary>
/// <param name="FirstFrame">First frame of the leap away; before 0 where the section begins within the detour.</param>
/// <param name="FirstPlateauFrame">First frame wholly away.</param>
/// <param name="LastPlateauFrame">Last frame wholly away.</param>
/// <param name="LastFrame">Last frame of the leap back; the count of frames where it never comes back.</param>
/// <param name="Seconds">How much later the map is in between.</param>
internal sealed record Detour(int FirstFrame, int FirstPlateauFrame, int LastPlateauFrame, int LastFrame, double Seconds)
{
    /// <summary>How far away a frame is, 0 to 1: rising over the leap away, falling over the leap back.</summary>
    internal double ShareAt(int frame) =>
        frame < FirstPlateauFrame ? Math.Clamp((double)(frame - FirstFrame) / (FirstPlateauFrame - FirstFrame), 0, 1)
        : frame > LastPlateauFrame ? Math.Clamp((double)(LastFrame - frame) / (LastFrame - LastPlateauFrame), 0, 1)
        : 1;
}

/// <summary>Finds detours in a map on a grid.</summary>
internal static class Detours
{
    // What a slipped path takes to go over from one period to the next.
    private const double LeapSeconds = 0.17;
    private const double SmallestSeconds = 0.8e-3;
    private const double OverUsual = 6;

    // A period of the lowest note whose overtones a path can be led by.
    private const double LargestSeconds = 12e-3;
    private const double LongestSeconds = 6;
    private const double LeastAgreement = 0.45;

    /// <param name="departure">The map less a straight line, in seconds, frame by frame.</param>
    /// <param name="stepSeconds">From frame to frame.</param>
    internal static List<Detour> Find(ReadOnlySpan<double> departure, double stepSeconds)
    {
        var detours = new List<Detour>();
        var width = Math.Max(2, (int)Math.Round(LeapSeconds / stepSeconds));
        var leaps = Leaps(departure, width);
        for (var i = 0; i < leaps.Count; i++)
        {
            var (at, size) = leaps[i];
            if (i + 1 < leaps.Count && IsWayBack(leaps[i], leaps[i + 1], stepSeconds))
            {
                var back = leaps[++i].Frame;
                detours.Add(Between(departure, at, back, width));
                continue;
            }
            // A single leap: the shorter side is the one that went astray.
            if (departure.Length - at < at + width && (departure.Length - at) * stepSeconds < LongestSeconds)
                detours.Add(new Detour(at, at + width, departure.Length - 1, departure.Length, size));
            else if (at * stepSeconds < LongestSeconds)
                detours.Add(new Detour(-1, 0, at, at + width, -size));
        }
        detours.RemoveAll(d => Math.Abs(d.Seconds) > LargestSeconds);
        return detours;
    }

    private static bool IsWayBack((int Frame, double Size) leap, (int Frame, double Size) next, double stepSeconds) =>
        leap.Size * next.Size < 0
        && Math.Min(Math.Abs(leap.Size), Math.Abs(next.Size)) > LeastAgreement * Math.Max(Math.Abs(leap.Size), Math.Abs(next.Size))
        && (next.Frame - leap.Frame) * stepSeconds < LongestSeconds;

    private static Detour Between(ReadOnlySpan<double> departure, int at, int back, int width)
    {
        var (first, last) = (at + width, back);
        // Out and back at once: what stands in the middle is all there is of it.
        if (first > last)
            first = last = (first + last) / 2;
        var (before, after) = (departure[at], departure[back + width]);
        var away = new double[last - first + 1];
        for (var k = first; k <= last; k++)
            away[k - first] = departure[k] - (before + (after - before) * (k - at) / (back + width - at));
        return new Detour(at, first, last, back + width, Middle(away));
    }

    /// <summary>First frame and size of every leap, in order.</summary>
    private static List<(int Frame, double Size)> Leaps(ReadOnlySpan<double> departure, int width)
    {
        var count = departure.Length - width;
        var leaps = new List<(int Frame, double Size)>();
        if (count < 3 * width)
            return leaps;
        var moves = new double[count];
        for (var k = 0; k < count; k++)
            moves[k] = departure[k + width] - departure[k];
        var usual = Middle(moves);
        for (var k = 0; k < count; k++)
            moves[k] -= usual;
        var least = Math.Max(SmallestSeconds, OverUsual * Middle(Array.ConvertAll(moves, Math.Abs)));
        for (var k = 0; k < count; k++)
        {
            if (Math.Abs(moves[k]) < least || !IsPeak(moves, k, width))
                continue;
            leaps.Add((k, moves[k]));
        }
        return leaps;
    }

    private static bool IsPeak(double[] moves, int at, int width)
    {
        for (var k = Math.Max(0, at - width); k <= Math.Min(moves.Length - 1, at + width); k++)
        {
            if (
                k != at
                && moves[k] * moves[at] > 0
                && (k < at ? Math.Abs(moves[k]) >= Math.Abs(moves[at]) : Math.Abs(moves[k]) > Math.Abs(moves[at]))
            )
                return false;
        }
        return true;
    }

    private static double Middle(double[] values)
    {
        var sorted = (double[])values.Clone();
        Array.Sort(sorted);
        return sorted[sorted.Length / 2];
    }
}
