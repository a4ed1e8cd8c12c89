namespace Offtape.Passes.Following;

/// <summary>
/// Joins two paths of one take, one followed from its beginning and one from its end: where either was lost the other goes on, and where both
/// were lost between, the tape stood still.
/// </summary>
internal static class PathJoiner
{
    // Capture that is skipped costs nothing, a tape may stand; source that is skipped was not heard.
    private const double CostPerSourceSecond = 200;
    private const double LongestStandSeconds = 30;
    private const double ShortestStandSeconds = 0.1;
    private const double ShortestLossSeconds = 0.08;
    private const double SameSeconds = 1e-3;
    private const double SlowShare = 0.85;
    private const double HeldStrength = 0.4f;
    private const double LongestRampSeconds = 0.5;

    /// <summary>The likeliest join; both paths in forward order.</summary>
    internal static TrackedPath Join(TrackedPath first, TrackedPath last)
    {
        var (i, j) = Switch(first, last);
        T[] Glue<T>(T[] head, T[] tail) => [.. head[..(i + 1)], .. tail[j..]];
        var path = new TrackedPath
        {
            CaptureSeconds = Glue(first.CaptureSeconds, last.CaptureSeconds),
            SourceSeconds = Glue(first.SourceSeconds, last.SourceSeconds),
            Speed = Glue(first.Speed, last.Speed),
            SigmaSeconds = Glue(first.SigmaSeconds, last.SigmaSeconds),
            Strength = Glue(first.Strength, last.Strength),
            Gain = Glue(first.Gain, last.Gain),
            IsSounding = Glue(first.IsSounding, last.IsSounding),
            LogLikelihood = first.Gain[..(i + 1)].Sum() + last.Gain[j..].Sum(),
            Stands = Stand(first, i, last, j) is { } stand ? [stand] : [],
        };
        return path;
    }

    private static TapeStand? Stand(TrackedPath first, int i, TrackedPath last, int j)
    {
        var (capture, source) = (last.CaptureSeconds[j] - first.CaptureSeconds[i], last.SourceSeconds[j] - first.SourceSeconds[i]);
        if (capture <= ShortestStandSeconds || capture - source <= ShortestLossSeconds)
            return null;
        // Back to where the tape still ran, and on to where it ran again.
        var (slow, stop) = (SlowShare * Median(first.Speed), first.SourceSeconds[i] - LongestRampSeconds);
        while (i > 0 && first.SourceSeconds[i] > stop && (first.Speed[i] < slow || first.Strength[i] < HeldStrength))
            i--;
        (slow, stop) = (SlowShare * Median(last.Speed), last.SourceSeconds[j] + LongestRampSeconds);
        while (j < last.Speed.Length - 1 && last.SourceSeconds[j] < stop && (last.Speed[j] < slow || last.Strength[j] < HeldStrength))
            j++;
        return new TapeStand(first.SourceSeconds[i], last.SourceSeconds[j], first.CaptureSeconds[i], last.CaptureSeconds[j]);
    }

    private static double Median(double[] values)
    {
        var sorted = values.Order().ToArray();
        return sorted[sorted.Length / 2];
    }

    // For each point of the last path, the best point of the first one that lies before it in both times.
    private static (int First, int Last) Switch(TrackedPath first, TrackedPath last)
    {
        var gained = new double[first.Gain.Length];
        double sum = 0;
        for (var i = 0; i < gained.Length; i++)
            gained[i] = sum += first.Gain[i];
        var rest = new double[last.Gain.Length];
        sum = 0;
        for (var j = rest.Length - 1; j >= 0; j--)
            rest[j] = sum += last.Gain[j];
        var (best, bestFirst, bestLast) = (double.NegativeInfinity, 0, 0);
        for (var j = 0; j < rest.Length; j++)
        {
            for (var i = Before(first.CaptureSeconds, last.CaptureSeconds[j]); i >= 0; i--)
            {
                if (last.CaptureSeconds[j] - first.CaptureSeconds[i] > LongestStandSeconds)
                    break;
                var skipped = last.SourceSeconds[j] - first.SourceSeconds[i];
                if (skipped < -SameSeconds)
                    continue;
                var score = gained[i] + rest[j] - CostPerSourceSecond * Math.Max(0, skipped);
                if (score > best)
                    (best, bestFirst, bestLast) = (score, i, j);
                // Farther back more source is skipped, and no more can be gained than has been.
                if (gained[i] + rest[j] - CostPerSourceSecond * skipped < best - 2000 && skipped > 1)
                    break;
            }
        }
        return (bestFirst, bestLast);
    }

    private static int Before(double[] times, double time)
    {
        var at = Array.BinarySearch(times, time);
        return (at >= 0 ? at : ~at) - 1;
    }
}
