using Offtape.Passes.Listening;

namespace Offtape.Passes.Following;

/// <summary>Chooses the short stretch of a source by which it is recognised: where it begins, in tracker seconds.</summary>
internal static class StretchChoice
{
    private const double UsualSeconds = 0.3;
    private const double ShortestSeconds = 0.06;

    /// <summary>How long a stretch to take where there is so much.</summary>
    internal static double LengthIn(double seconds) => Math.Min(UsualSeconds, Math.Max(ShortestSeconds, seconds));

    /// <summary>The stretch with the steepest rise in it, if it is loud: an attack has one place, the middle of a held note has many.</summary>
    internal static double Liveliest(LevelCurve level, double from, double to, double length)
    {
        var step = LevelCurve.StepSeconds;
        var (first, end) = (Math.Max(0, (int)(from / step)), Math.Min(level.Count, (int)(to / step)));
        var (best, bestScore) = (first, double.NegativeInfinity);
        for (var i = first; i < end; i++)
        {
            // What stands before the beginning is silence.
            double Floored(int index) =>
                index < 0 ? level.PeakDb - 45 : Math.Max(level[Math.Min(index, level.Count - 1)], level.PeakDb - 45);
            var rise = Floored(i + 3) - Floored(i - 2);
            var score = rise + 0.7 * (Floored(i + 6) - level.PeakDb);
            if (score > bestScore)
                (best, bestScore) = (i, score);
        }
        var start = Math.Max(from, (best - 3) * step);
        return Math.Max(0, Math.Min(start, to - length));
    }

    /// <summary>The stretch that sounds for most of its time, by the decibels it stands above the floor.</summary>
    internal static double Loudest(LevelCurve level, double from, double to, double length)
    {
        var step = LevelCurve.StepSeconds;
        var frames = Math.Max(1, (int)(length / step));
        var (first, end) = (Math.Max(0, (int)(from / step)), (int)(to / step));
        var (best, bestSum) = (first, double.NegativeInfinity);
        for (var start = first; start == first || start + frames <= Math.Min(end, level.Count); start++)
        {
            double sum = 0;
            for (var i = start; i < Math.Min(start + frames, level.Count); i++)
                sum += Math.Max(level[i] - (level.PeakDb - 45), 0);
            if (sum > bestSum)
                (best, bestSum) = (start, sum);
        }
        return best * step;
    }
}
