using Offtape.Passes;
using Offtape.Report;
using Offtape.Signal;

namespace Offtape.Web.Bringing;

/// <summary>The plots of a take, as values.</summary>
public static class TakePlots
{
    // What steady takes out unless told otherwise.
    private const double CornerHz = 0.3;
    private const double LeastReachMilliseconds = 1;

    /// <summary>What a retiming leaves of that movement; null where it leaves all (shift) or nothing that can be followed (lock).</summary>
    public static PlotModel? Left(ReturnTimeMap map, string retiming)
    {
        if (retiming is not ("fit" or "steady") || map.SourceSeconds.Length < 3)
            return null;
        var left = OffTheLine(map);
        if (retiming == "steady")
        {
            var slow = new double[left.Length];
            SlowPart.Of(left, map.SourceSeconds[1] - map.SourceSeconds[0], CornerHz, slow);
            for (var i = 0; i < left.Length; i++)
                left[i] -= slow[i];
        }
        var reach = Math.Max(LeastReachMilliseconds, 1.25 * left.Max(Math.Abs));
        return new PlotModel($"What {retiming} leaves of it", Axis.Clock("source time"), Axis.Linear("late", "ms", -reach, reach))
        {
            HeightPixels = 180,
        }.With(new LineSeries("", map.SourceSeconds, left));
    }

    /// <summary>The map off its straight line by least squares, the mean place and the mean speed, in milliseconds.</summary>
    internal static double[] OffTheLine(ReturnTimeMap map)
    {
        var (x, y) = (map.SourceSeconds, map.CaptureSeconds);
        if (x.Length == 0)
            return [];
        var (meanX, meanY) = (x.Average(), y.Average());
        var (across, along) = (0.0, 0.0);
        for (var i = 0; i < x.Length; i++)
        {
            across += (x[i] - meanX) * (y[i] - meanY);
            along += (x[i] - meanX) * (x[i] - meanX);
        }
        var slope = along > 0 ? across / along : 0;
        return [.. x.Select((v, i) => (y[i] - meanY - slope * (v - meanX)) * 1000)];
    }
}
