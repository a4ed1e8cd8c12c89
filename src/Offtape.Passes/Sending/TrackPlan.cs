using Offtape.Base;

namespace Offtape.Passes;

/// <summary>Which source stands on which tracks of the send.</summary>
/// <param name="ChannelCount">Channels of the send.</param>
/// <param name="TracksBySource">For each source its tracks, from 1; a mono source stands on each of them.</param>
/// <param name="MonoAvoidsStripe">True when mono sources leave out the stripe's track, which they would otherwise have filled.</param>
internal sealed record TrackPlan(int ChannelCount, IReadOnlyList<int[]> TracksBySource, bool MonoAvoidsStripe)
{
    /// <exception cref="Fault">Usage: the tracks contradict each other or the sources.</exception>
    internal static TrackPlan Make(IReadOnlyList<SourceFile> sources, SendRequest request)
    {
        var assigned = Assign(sources, request);
        var plan = request.Layout == SendLayout.Serial ? Serial(sources, assigned, request) : Parallel(sources, assigned, request);
        for (var i = 0; i < sources.Count; i++)
            if (request.StripeTrack is { } stripe && plan.TracksBySource[i].Contains(stripe))
                throw Fault.Usage(
                    $"Track {stripe} cannot carry the stripe and {sources[i].Name}",
                    "Put the stripe on a free track, or the source on other tracks with --tracks."
                );
        return plan.ChannelCount <= SendJob.MostTracks
            ? plan
            : throw Fault.Usage(
                $"These sources need {plan.ChannelCount} tracks, and a send has at most {SendJob.MostTracks}",
                "Make two passes."
            );
    }

    private static TrackPlan Serial(IReadOnlyList<SourceFile> sources, int[]?[] assigned, SendRequest request)
    {
        var channelCount = Math.Max(2, request.StripeTrack ?? 0);
        for (var i = 0; i < sources.Count; i++)
            channelCount = Math.Max(channelCount, assigned[i]?.Max() ?? sources[i].ChannelCount);
        int[] everyChannel = [.. Enumerable.Range(1, channelCount).Where(t => t != request.StripeTrack)];
        var tracks = sources.Select(
            (source, i) => assigned[i] ?? (source.ChannelCount == 1 ? everyChannel : [.. Enumerable.Range(1, source.ChannelCount)])
        );
        var avoids = request.StripeTrack is <= 2 && sources.Where((source, i) => assigned[i] is null && source.ChannelCount == 1).Any();
        return new TrackPlan(channelCount, [.. tracks], avoids);
    }

    private static TrackPlan Parallel(IReadOnlyList<SourceFile> sources, int[]?[] assigned, SendRequest request)
    {
        var owner = new Dictionary<int, string>();
        for (var i = 0; i < sources.Count; i++)
            foreach (var track in assigned[i] ?? [])
                if (!owner.TryAdd(track, sources[i].Name))
                    throw Fault.Usage(
                        $"Track {track} cannot carry {owner[track]} and {sources[i].Name} at once",
                        "Give each its own track, or send them one after another with --layout serial."
                    );
        var taken = owner.Keys.ToHashSet();
        if (request.StripeTrack is { } stripe)
            taken.Add(stripe);
        var tracks = new int[sources.Count][];
        for (var i = 0; i < sources.Count; i++)
        {
            tracks[i] = assigned[i] ?? LowestFree(sources[i].ChannelCount, taken);
            taken.UnionWith(tracks[i]);
        }
        return new TrackPlan(taken.Max(), tracks, false);
    }

    private static int[] LowestFree(int count, HashSet<int> taken)
    {
        var first = 1;
        while (Enumerable.Range(first, count).Any(taken.Contains))
            first++;
        return [.. Enumerable.Range(first, count)];
    }

    private static int[]?[] Assign(IReadOnlyList<SourceFile> sources, SendRequest request)
    {
        var tracks = new List<int>?[sources.Count];
        foreach (var assignment in request.Tracks)
        {
            if (assignment.FirstTrack < 1 || assignment.LastTrack > SendJob.MostTracks || assignment.LastTrack < assignment.FirstTrack)
                throw Fault.Usage(
                    $"There are no tracks {assignment.FirstTrack}-{assignment.LastTrack}",
                    $"Tracks are counted from 1 to {SendJob.MostTracks}."
                );
            var source = Find(assignment.Source, sources);
            (tracks[source] ??= []).AddRange(Enumerable.Range(assignment.FirstTrack, assignment.TrackCount));
        }
        for (var i = 0; i < sources.Count; i++)
        {
            if (tracks[i] is not { } list)
                continue;
            if (list.Distinct().Count() != list.Count)
                throw Fault.Usage($"--tracks puts {sources[i].Name} on one track twice");
            if (sources[i].ChannelCount > 1 && list.Count != sources[i].ChannelCount)
                throw Fault.Usage(
                    $"{sources[i].Name} has {Words.Count(sources[i].ChannelCount, "channel")}, and --tracks gives it {Words.Count(list.Count, "track")}",
                    "Give it one track a channel, for instance 1-2=kit.wav; nothing is mixed unasked."
                );
        }
        return [.. tracks.Select(t => t?.ToArray())];
    }

    // As it was typed, else by file name, else by file name without its ending: the first way that finds anything decides.
    private static int Find(string named, IReadOnlyList<SourceFile> sources)
    {
        Func<SourceFile, bool>[] ways =
        [
            s => string.Equals(s.Path, named, StringComparison.Ordinal) || SafePath.AreSame(s.Path, named),
            s => string.Equals(s.Name, named, StringComparison.OrdinalIgnoreCase),
            s => string.Equals(Path.GetFileNameWithoutExtension(s.Name), named, StringComparison.OrdinalIgnoreCase),
        ];
        foreach (var way in ways)
        {
            var found = Enumerable.Range(0, sources.Count).Where(i => way(sources[i])).ToArray();
            if (found.Length == 1)
                return found[0];
            if (found.Length > 1)
                throw Fault.Usage(
                    $"--tracks names {named}, and {found.Length} sources are called that",
                    "Write the path as it stands among the sources."
                );
        }
        throw Fault.Usage($"--tracks names {named}, which is not among the sources", "Name it as a source as well.");
    }
}
