using Offtape.Passes.Following;

namespace Offtape.Passes.Finding;

/// <summary>
/// Decides between the places that passed the judge: what two sources claim belongs to the one it fits better; where one source fits two
/// places of one capture equally well, neither is guessed.
/// </summary>
internal static class PlaceResolver
{
    // Two scores closer than this say nothing about which is right.
    private const double EqualScore = 0.03;
    private const double EqualClaim = 0.015;

    /// <summary>The takes that stand, each with the other places that are as good (empty where the place is sure).</summary>
    internal static List<(FollowedTake Take, List<FollowedTake> Rivals)> Resolve(IReadOnlyList<FollowedTake> candidates)
    {
        var standing = candidates.Where(TakeJudge.IsAccepted).OrderByDescending(c => c.Evidence.Score).ToList();
        var kept = new List<FollowedTake>();
        var disputed = new Dictionary<FollowedTake, List<FollowedTake>>();
        foreach (var take in standing)
        {
            var stronger = kept.Find(k => k.Capture == take.Capture && k.Source != take.Source && Overlap(k, take) > 0.5);
            if (stronger is null)
            {
                kept.Add(take);
                continue;
            }
            // As good a fit of another source at the same place: near twins, both present among the sources.
            if (stronger.Evidence.Score - take.Evidence.Score < EqualClaim && !IsElsewhere(take, standing))
                disputed.TryAdd(stronger, []);
        }
        var result = new List<(FollowedTake, List<FollowedTake>)>();
        foreach (var bySource in kept.GroupBy(k => k.Source))
        {
            foreach (var byCapture in bySource.GroupBy(k => k.Capture))
            {
                var ranked = byCapture.OrderByDescending(t => t.Evidence.Score).ToList();
                var rivals = ranked.Skip(1).Where(t => t.Evidence.Score > ranked[0].Evidence.Score - EqualScore).ToList();
                result.Add((ranked[0], rivals));
            }
        }
        return [.. result.OrderBy(r => r.Item1.Source.Index).ThenBy(r => r.Item1.Capture.Index)];
    }

    private static bool IsElsewhere(FollowedTake take, List<FollowedTake> standing) =>
        standing.Exists(s => s.Source == take.Source && s != take && s.Evidence.Score >= take.Evidence.Score);

    /// <summary>The share of the shorter take that lies under the other.</summary>
    private static double Overlap(FollowedTake a, FollowedTake b)
    {
        var from = Math.Max(a.StartCaptureSeconds, b.StartCaptureSeconds);
        var to = Math.Min(a.EndCaptureSeconds, b.EndCaptureSeconds);
        var shorter = Math.Min(a.EndCaptureSeconds - a.StartCaptureSeconds, b.EndCaptureSeconds - b.StartCaptureSeconds);
        return Math.Max(0, to - from) / Math.Max(shorter, 1e-6);
    }
}
