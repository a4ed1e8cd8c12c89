namespace Offtape.Studio;

/// <summary>Open ends, sockets of side B and channels that have nothing to do with the rest of a state.</summary>
internal sealed record JoinBranch(IReadOnlyList<int> Ends, IReadOnlyList<int> Sinks, uint Lanes, bool IsOneChannel, bool IsFromA)
{
    /// <summary>Two channels of one direction can go through pieces that carry two.</summary>
    public bool MayShareWith(JoinBranch other) => IsOneChannel && other.IsOneChannel && IsFromA == other.IsFromA;

    public JoinState Of(JoinState state, bool mustShare) => state.Only(Ends, Sinks, Lanes, mustShare);

    public static JoinBranch Together(IEnumerable<JoinBranch> branches)
    {
        var all = branches.ToArray();
        return new JoinBranch(
            [.. all.SelectMany(b => b.Ends).Order()],
            [.. all.SelectMany(b => b.Sinks).Order()],
            all.Aggregate(0u, (bits, b) => bits | b.Lanes),
            all.Length == 1 && all[0].IsOneChannel,
            all[0].IsFromA
        );
    }
}

/// <summary>Finds what in a state is independent: open ends and sockets belong together where they carry the same channel.</summary>
internal static class JoinSplit
{
    public static IReadOnlyList<JoinBranch> Of(JoinState state, JoinTask task)
    {
        var count = state.Ends.Length + state.Sinks.Length + task.Lanes.Count;
        var parent = Enumerable.Range(0, count).ToArray();
        var firstSink = state.Ends.Length;
        var firstLane = firstSink + state.Sinks.Length;
        for (var k = 0; k < task.Lanes.Count; k++)
        {
            if ((state.Lanes >> k & 1) == 0)
                continue;
            var marks = Net.MarksOf(1u << k);
            for (var e = 0; e < state.Ends.Length; e++)
                if (state.Ends[e].Nets.Any(n => state.Nets[n].Has(marks)))
                    Join(firstLane + k, e);
            for (var s = 0; s < state.Sinks.Length; s++)
                if (state.Sinks[s] is { } nets && nets.Any(n => state.Nets[n].Has(marks)))
                    Join(firstLane + k, firstSink + s);
        }
        var branches = new List<JoinBranch>();
        foreach (var group in Enumerable.Range(0, count).GroupBy(Root))
        {
            var lanes = group.Where(i => i >= firstLane).Select(i => i - firstLane).Where(k => (state.Lanes >> k & 1) != 0).ToArray();
            var ends = group.Where(i => i < firstSink).ToArray();
            var sinks = group
                .Where(i => i >= firstSink && i < firstLane && state.Sinks[i - firstSink] is not null)
                .Select(i => i - firstSink);
            if (lanes.Length > 0)
                branches.Add(
                    new JoinBranch(
                        ends,
                        [.. sinks],
                        lanes.Aggregate(0u, (bits, k) => bits | 1u << k),
                        lanes.Length == 1,
                        task.Lanes[lanes[0]].IsFromA
                    )
                );
            else if (ends.Any(e => !state.Ends[e].MayHang))
                // An end that is not free to hang and carries nothing yet: what it is for shows only when the whole is looked at.
                return [];
        }
        return branches;

        void Join(int a, int b) => parent[Root(b)] = Root(a);

        int Root(int i)
        {
            while (parent[i] != i)
                i = parent[i];
            return i;
        }
    }
}
