using System.Collections.Concurrent;
using Offtape.Base;
using Offtape.Passes.Following;
using Offtape.Passes.Listening;
using Offtape.Passes.Mapping;

namespace Offtape.Passes.Finding;

/// <summary>
/// Finds sources in captures by their sound alone. A coarse search over pictures (time against log frequency) proposes places, cheaply and
/// generously; each proposal is then recognised in the waveform, followed, and judged by coherence. Only what passes the judge is found.
/// </summary>
internal sealed class SoundFinder
{
    /// <summary>Usual reach: how far a second-hand machine's speed may be off between two runs.</summary>
    internal const double UsualSpeedReach = 0.04;

    private const double SpeedStep = 0.01;
    private const int PatchesPerSource = 3;
    private const int HitsPerPatch = 10;
    private const int ProposalsPerSource = 48;
    private const double JudgeSeconds = 4;

    // A picture is good to a frame or two and to half a step of speed.
    private const double Reach = 0.05;
    private const double SpeedReachOfHit = 0.008;
    private const double WideSpeedReach = 0.022;
    private const double GoodFit = 0.6;
    private const double GlanceShare = 0.6;
    private const int MostFollowed = 8;

    private sealed record Proposal(PictureHit Hit, double Support);

    private readonly IReadOnlyList<SourceSound> _sources;
    private readonly double _speedReach;

    internal SoundFinder(IReadOnlyList<SourceSound> sources, double speedReach = UsualSpeedReach) =>
        (_sources, _speedReach) = (sources, speedReach);

    /// <summary>All places of all sources in one capture that pass the judge, overlapping ones of one source merged.</summary>
    internal List<FollowedTake> FindIn(CaptureSound capture, JobProgress progress, CancellationToken cancellation)
    {
        if (capture.IsSilent)
            return [];
        var proposals = Propose(capture, cancellation);
        var found = new ConcurrentBag<FollowedTake>();
        var done = 0;
        Parallel.ForEach(
            proposals,
            new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
            pair =>
            {
                foreach (var take in Verify(_sources[pair.Key], capture, pair.Value, cancellation))
                    found.Add(take);
                var count = Interlocked.Increment(ref done);
                progress.Report(
                    "finding",
                    (double)count / proposals.Count,
                    $"finding {count} of {proposals.Count} in {capture.Recording.Name}"
                );
            }
        );
        return [.. found.OrderBy(t => t.Source.Index).ThenBy(t => t.StartCaptureSeconds)];
    }

    private Dictionary<int, List<Proposal>> Propose(CaptureSound capture, CancellationToken cancellation)
    {
        var patches = new List<PicturePatch>();
        var steps = (int)Math.Round(_speedReach / SpeedStep);
        foreach (var source in _sources)
        {
            if (source.IsSilent)
                continue;
            using var ear = new Ear(source.Recording);
            var stretches = source.Patches(PatchesPerSource);
            var channels = Enumerable.Range(0, ear.ChannelCount).Select(c => ear.Channel(c)).ToArray();
            for (var s = -steps; s <= steps; s++)
            {
                foreach (var (start, length) in stretches)
                    patches.Add(SoundPicture.Patch(source.Index, channels, start, length, 1 + s * SpeedStep));
            }
        }
        if (patches.Count == 0)
            return [];
        using var captureEar = new Ear(capture.Recording);
        var picture = SoundPicture.Of([.. Enumerable.Range(0, captureEar.ChannelCount).Select(c => captureEar.Channel(c))], cancellation);
        var hits = new PictureSearch(patches).Search(picture, HitsPerPatch, cancellation);
        var proposals = new Dictionary<int, List<Proposal>>();
        foreach (var ofSource in hits.GroupBy(h => h.SourceIndex))
        {
            var all = ofSource.ToList();
            var list = proposals[ofSource.Key] = [];
            foreach (var hit in all)
            {
                // The same place by another patch or a neighbouring speed adds nothing new.
                if (list.Count < ProposalsPerSource && !list.Exists(p => IsSamePlace(p.Hit, hit)))
                    list.Add(new Proposal(hit, Support(hit, all)));
            }
        }
        return proposals;
    }

    private static bool IsSamePlace(PictureHit a, PictureHit b) =>
        Math.Abs(ZeroOf(a) - ZeroOf(b)) < 0.05 + 0.012 * Math.Abs(a.StartSeconds - b.StartSeconds) && Math.Abs(a.Speed - b.Speed) < 0.025;

    /// <summary>
    /// How well the other stretches of the source fit where this place would have them: one phrase is found again in many a piece, three
    /// of them in their right distances hardly.
    /// </summary>
    private static double Support(PictureHit hit, List<PictureHit> all)
    {
        var best = new Dictionary<double, double>();
        foreach (var other in all)
        {
            var away = other.StartSeconds - hit.StartSeconds;
            if (away == 0 || Math.Abs(other.Speed - hit.Speed) > 0.021)
                continue;
            if (Math.Abs(other.CaptureSeconds - hit.CaptureSeconds - away / hit.Speed) < 0.06 + 0.012 * Math.Abs(away))
                best[other.StartSeconds] = Math.Max(best.GetValueOrDefault(other.StartSeconds), other.Fit);
        }
        return best.Values.Sum();
    }

    private static Remainder Remainder(FollowedTake take, CancellationToken cancellation)
    {
        var matches = new ChannelMatcher().Match(take, [.. Enumerable.Range(0, take.Capture.Recording.Format.ChannelCount)], cancellation);
        return FineMap.Begin(take, matches, cancellation)?.Remainder ?? Mapping.Remainder.All;
    }

    private static double ZeroOf(PictureHit hit) => hit.CaptureSeconds - hit.StartSeconds / hit.Speed;

    private static double EndOf(SourceSound source, PictureHit hit) => Math.Min(source.LengthSeconds, hit.StartSeconds + hit.LengthSeconds);

    private static List<FollowedTake> Verify(
        SourceSound source,
        CaptureSound capture,
        List<Proposal> proposals,
        CancellationToken cancellation
    )
    {
        using var follower = new TakeFollower(source, capture);
        var takes = new List<FollowedTake>();
        // A glance at each proposal's waveform is cheap; only those that look nearly as good as the best are worth following.
        var glanced = proposals.ConvertAll(p =>
            (
                p.Hit,
                Strength: (1 + p.Support)
                    * follower.Glance(p.Hit.StartSeconds, EndOf(source, p.Hit), ZeroOf(p.Hit), p.Hit.Speed, Reach, SpeedReachOfHit)
            )
        );
        var best = glanced.Count == 0 ? 0 : glanced.Max(g => g.Strength);
        foreach (var (hit, _) in glanced.Where(g => g.Strength >= GlanceShare * best).OrderByDescending(g => g.Strength).Take(MostFollowed))
        {
            cancellation.ThrowIfCancellationRequested();
            // A take that was found already comes by here.
            if (takes.Exists(t => Math.Abs(t.Curve.CaptureAt(hit.StartSeconds) - hit.CaptureSeconds) < 0.1))
                continue;
            var zero = ZeroOf(hit);
            var take = Follow(SpeedReachOfHit);
            // The picture of a low phrase says little of its speed: where it fits well, speeds further off are looked at too.
            if (take is null && hit.Fit >= GoodFit)
                take = Follow(WideSpeedReach);
            if (take is null || take.Evidence.Score < TakeJudge.LowestScore)
                continue;
            // What might be another hit of the same drum is looked at along its fine map.
            if (TakeJudge.NeedsCloserLook(take))
                take = take with { Remainder = Remainder(take, cancellation) };
            if (!takes.Exists(t => Math.Abs(t.StartCaptureSeconds - take.StartCaptureSeconds) < 0.005))
                takes.Add(take);

            FollowedTake? Follow(double speedReach) =>
                follower.Follow(
                    hit.StartSeconds,
                    EndOf(source, hit),
                    zero,
                    hit.Speed,
                    Reach,
                    speedReach,
                    captureChannels: null,
                    JudgeSeconds,
                    cancellation,
                    isGuess: true
                );
        }
        return takes;
    }
}
