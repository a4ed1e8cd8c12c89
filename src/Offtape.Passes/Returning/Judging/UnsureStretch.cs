using Offtape.Passes.Following;

namespace Offtape.Passes.Judging;

/// <summary>A stretch of a take that sounds, and in which its map is not sure of the tape.</summary>
/// <param name="FromSourceSeconds">Seconds of the source file.</param>
/// <param name="ToSourceSeconds">Seconds of the source file.</param>
/// <param name="SigmaSeconds">The largest standard deviation of the map in it.</param>
internal sealed record UnsureStretch(double FromSourceSeconds, double ToSourceSeconds, double SigmaSeconds)
{
    // Half of what is heard as a flam between two hits of a drum (common practice, no source).
    private const double DoubtfulSeconds = 0.001;
    private const double ShortestSeconds = 0.05;
    private const double LoudDb = 30;
    private const double StepSeconds = 0.01;

    internal static UnsureStretch? Of(FollowedTake take)
    {
        UnsureStretch? worst = null;
        var level = take.Source.Levels[take.SourceChannel];
        double? from = null;
        var sigma = 0.0;
        for (var s = take.FirstHeard; ; s += StepSeconds)
        {
            var isEnd = s >= take.LastHeard;
            var isUnsure =
                !isEnd
                && level.DbAt(take.ToSourceFileSeconds(s)) > level.PeakDb - LoudDb
                && take.Curve.SigmaAt(s) > DoubtfulSeconds
                && !take.Stands.Any(t => s > t.FromSource && s < t.ToSource);
            if (isUnsure)
            {
                from ??= s;
                sigma = Math.Max(sigma, take.Curve.SigmaAt(s));
                continue;
            }
            if (from is { } start && s - start >= ShortestSeconds && sigma > (worst?.SigmaSeconds ?? 0))
            {
                var (a, b) = (take.ToSourceFileSeconds(start), take.ToSourceFileSeconds(s));
                worst = new UnsureStretch(Math.Min(a, b), Math.Max(a, b), sigma);
            }
            if (isEnd)
                return worst;
            (from, sigma) = (null, 0);
        }
    }
}
