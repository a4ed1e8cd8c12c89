using Offtape.Passes.Following;
using Offtape.Passes.Listening;

namespace Offtape.Passes.Judging;

/// <summary>Whether a machine rode the level by itself: quiet moments come back louder against the source than loud ones, over a wide range.</summary>
internal static class LevelControlTest
{
    // Tape itself presses only the top few dB together; a level control works over all of them.
    private const double LeastRangeDb = 12;
    private const double SteepestTapeSlope = -0.3;

    internal static bool IsLevelControlled(FollowedTake take, LevelCurve source, LevelCurve capture, double noiseDb)
    {
        var points = new List<(double Source, double Gain)>();
        for (var s = take.FirstHeard + 0.1; s < take.LastHeard - 0.1; s += 0.05)
        {
            // The source's own seconds: at another speed than it was sent at, or backwards, those of the path are not.
            var (from, to) = (Mean(source, take.ToSourceFileSeconds(s)), Mean(capture, take.Curve.CaptureAt(s)));
            if (from > source.PeakDb - 40 && to > noiseDb + 12)
                points.Add((from, to - from));
        }
        if (points.Count < 20)
            return false;
        // The lower three quarters of the range: above them tape saturates.
        var loudest = points.Max(p => p.Source);
        points.RemoveAll(p => p.Source > loudest - 6);
        if (points.Count < 15 || points.Max(p => p.Source) - points.Min(p => p.Source) < LeastRangeDb)
            return false;
        var (meanX, meanY) = (points.Average(p => p.Source), points.Average(p => p.Gain));
        double xy = 0,
            xx = 0,
            yy = 0;
        foreach (var (x, y) in points)
            (xy, xx, yy) = (xy + (x - meanX) * (y - meanY), xx + (x - meanX) * (x - meanX), yy + (y - meanY) * (y - meanY));
        return xy / xx < SteepestTapeSlope && xy * xy / (xx * yy + 1e-9) > 0.5;
    }

    private static double Mean(LevelCurve level, double seconds)
    {
        double power = 0;
        for (var k = -4; k <= 4; k++)
            power += Math.Pow(10, level.DbAt(seconds + k * LevelCurve.StepSeconds) / 10);
        return 10 * Math.Log10(power / 9 + 1e-20);
    }
}
