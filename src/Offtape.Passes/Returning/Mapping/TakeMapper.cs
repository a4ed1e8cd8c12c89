using Offtape.Base;
using Offtape.Passes.Following;

namespace Offtape.Passes.Mapping;

/// <summary>
/// Maps all takes of a return: each by itself first; then, since all sounds of a pass went through one machine, again with what those with
/// treble know of it, by which the low ones can tell its phase from a delay.
/// </summary>
internal static class TakeMapper
{
    /// <summary>Takes along their fine maps, in the order given.</summary>
    /// <param name="takes">As tracked.</param>
    /// <param name="matches">Their channels.</param>
    /// <param name="runOf">Takes with equal keys went through the same machine in the same run.</param>
    /// <param name="guideOf">The stripe of a take's run and its map in the take's tracker time; null without one.</param>
    /// <param name="detail">How closely to look.</param>
    /// <param name="progress">Of all of them.</param>
    /// <param name="cancellation">Stops it.</param>
    internal static FollowedTake[] Map(
        IReadOnlyList<FollowedTake> takes,
        IReadOnlyList<ChannelMatches> matches,
        Func<int, object> runOf,
        Func<int, StripeGuide?> guideOf,
        MapDetail detail,
        JobProgress progress,
        CancellationToken cancellation
    )
    {
        var maps = new FineMap?[takes.Count];
        var done = 0;
        void Each(Action<int> act) =>
            Parallel.For(
                0,
                takes.Count,
                new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
                i =>
                {
                    act(i);
                    var count = Interlocked.Increment(ref done);
                    progress.Report("mapping", count / (2.0 * takes.Count), $"following the tape, {(count + 1) / 2} of {takes.Count}");
                }
            );
        var guides = Enumerable.Range(0, takes.Count).Select(guideOf).ToArray();
        Each(i => maps[i] = FineMap.Begin(StripeLead.Coarse(takes[i], guides[i]), matches[i], cancellation));
        var shared = new Dictionary<object, ResponseEvidence?>();
        foreach (var run in Enumerable.Range(0, takes.Count).Where(i => maps[i] is not null).GroupBy(runOf))
            shared[run.Key] = Shared([.. run.Select(i => maps[i]!)]);
        var mapped = new FollowedTake[takes.Count];
        Each(i =>
        {
            var machine = maps[i] is null ? null : shared[runOf(i)];
            if (detail != MapDetail.Wow || guides[i] is not null)
                maps[i]?.Finish(machine, cancellation, detail);
            var bySound = maps[i]?.Take ?? takes[i];
            mapped[i] = guides[i] is { } guide ? StripeLead.Join(bySound, maps[i], guide, machine, cancellation) : bySound;
        });
        return mapped;
    }

    private static ResponseEvidence? Shared(IReadOnlyList<FineMap> maps)
    {
        var donors = maps.Where(m => m.TrebleShare >= MapRefiner.BroadTreble).ToList();
        return maps.Count < 2 || donors.Count == 0
            ? null
            : donors.Skip(1).Aggregate(donors[0].Evidence, (sum, map) => sum.With(map.Evidence));
    }
}
