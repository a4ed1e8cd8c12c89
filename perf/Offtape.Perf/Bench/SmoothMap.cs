using Offtape.Tape;

namespace Offtape.Perf.Bench;

/// <summary>
/// A true time map between its knots: a cubic through the four nearest (Lagrange). Straight lines between knots half a millisecond apart would
/// take 0.05 % off flutter of 90 Hz and 0.3 % off that of 200 Hz, more than a reading may be off.
/// </summary>
internal static class SmoothMap
{
    internal static double SourceAt(TimeMap map, double captureSeconds)
    {
        var (x, y) = (map.CaptureSeconds, map.SourceSeconds);
        var k = Array.BinarySearch(x, captureSeconds);
        k = Math.Clamp((k >= 0 ? k : ~k) - 2, 0, Math.Max(0, x.Length - 4));
        var count = Math.Min(4, x.Length);
        var sum = 0.0;
        for (var i = k; i < k + count; i++)
        {
            var weight = 1.0;
            for (var j = k; j < k + count; j++)
            {
                if (j != i)
                    weight *= (captureSeconds - x[j]) / (x[i] - x[j]);
            }
            sum += weight * y[i];
        }
        return sum;
    }
}
