namespace Offtape.Studio.Tests;

/// <summary>
/// The slow way: every choice of pieces, every way to plug their ends into each other and into the two sockets, each looked at contact by
/// contact with a union of what touches. It shares with the program only the list of parts, which contacts touch, and the rules of a lane.
/// </summary>
internal static class SlowPatch
{
    /// <summary>The fewest pieces that legally join all lanes, and each multiset of part ids that does it with so few; none within the limit gives 0.</summary>
    public static (int Pieces, IReadOnlySet<string> Ways) Shortest(Socket a, Socket b, IReadOnlyList<PartType> parts, int most)
    {
        for (var count = 1; count <= most; count++)
        {
            var ways = Ways([a], [b], parts, count).ToHashSet();
            if (ways.Count > 0)
                return (count, ways);
        }
        return (0, new HashSet<string>());
    }

    /// <summary>Every multiset of exactly so many pieces that legally joins all lanes of the sockets, as ids with + between.</summary>
    public static IEnumerable<string> Ways(IReadOnlyList<Socket> a, IReadOnlyList<Socket> b, IReadOnlyList<PartType> parts, int count)
    {
        foreach (var chosen in Multisets(parts, count, 0))
            if (IsPossible(a, b, chosen))
                yield return string.Join("+", chosen.Select(p => p.Id).Order(StringComparer.Ordinal));
    }

    private static IEnumerable<IReadOnlyList<PartType>> Multisets(IReadOnlyList<PartType> parts, int count, int from)
    {
        if (count == 0)
        {
            yield return [];
            yield break;
        }
        for (var i = from; i < parts.Count; i++)
            foreach (var rest in Multisets(parts, count - 1, i))
                yield return [parts[i], .. rest];
    }

    private static bool IsPossible(IReadOnlyList<Socket> a, IReadOnlyList<Socket> b, IReadOnlyList<PartType> chosen)
    {
        var ends = new List<(int Thing, int End, PlugShape Shape, PlugGender Gender)>();
        foreach (var socket in a.Concat(b))
            ends.Add((-1, 0, socket.Shape, socket.Gender));
        var deviceEnds = ends.Count;
        for (var p = 0; p < chosen.Count; p++)
        for (var e = 0; e < chosen[p].Ends.Count; e++)
            ends.Add((p, e, chosen[p].Ends[e].Shape, chosen[p].Ends[e].Gender));
        var mate = new int[ends.Count];
        Array.Fill(mate, -1);
        return Plug(0);

        bool Plug(int first)
        {
            while (first < ends.Count && mate[first] >= 0)
                first++;
            if (first == ends.Count)
                return IsLegal(a, b, chosen, ends, mate);
            for (var other = first + 1; other < ends.Count; other++)
            {
                if (mate[other] >= 0 || ends[first].Thing < 0 && ends[other].Thing < 0 || !Fit(first, other))
                    continue;
                (mate[first], mate[other]) = (other, first);
                if (Plug(first + 1))
                    return true;
                (mate[first], mate[other]) = (-1, -1);
            }
            return first >= deviceEnds && Plug(first + 1);
        }

        bool Fit(int i, int j) =>
            ends[i].Gender != ends[j].Gender
            && (
                ends[i].Gender == PlugGender.Plug
                    ? PlugShapes.Fits(ends[i].Shape, ends[j].Shape)
                    : PlugShapes.Fits(ends[j].Shape, ends[i].Shape)
            );
    }

    private static bool IsLegal(
        IReadOnlyList<Socket> a,
        IReadOnlyList<Socket> b,
        IReadOnlyList<PartType> chosen,
        List<(int Thing, int End, PlugShape Shape, PlugGender Gender)> ends,
        int[] mate
    )
    {
        var first = new int[ends.Count];
        for (var i = 1; i < ends.Count; i++)
            first[i] = first[i - 1] + ends[i - 1].Shape.Contacts.Count;
        var node = Enumerable.Range(0, first[^1] + ends[^1].Shape.Contacts.Count).ToArray();
        for (var i = 0; i < ends.Count; i++)
        {
            if (mate[i] < i)
                continue;
            var (plug, socket) = ends[i].Gender == PlugGender.Plug ? (i, mate[i]) : (mate[i], i);
            foreach (var (p, s) in PlugShapes.Touching(ends[plug].Shape, ends[socket].Shape))
                Union(first[plug] + p, first[socket] + s);
        }
        foreach (var (thing, wire) in chosen.SelectMany((p, i) => p.Wires.Select(w => (i, w))))
            Union(At(thing, wire.FromEnd, wire.FromContact), At(thing, wire.ToEnd, wire.ToContact));

        var outs = Lanes(Flow.Out);
        var ins = Lanes(Flow.In);
        var grounds = outs.Concat(ins).Select(l => Find(l.First + Contact(l.Socket, l.Lane.Ground))).ToHashSet();
        // A channel of one side is wanted into the same channel of the other.
        foreach (var source in outs)
        {
            var hot = Hot(source);
            var wanted = ins.Where(i => i.IsA != source.IsA && i.Lane.Channel == source.Lane.Channel).ToArray();
            // A second channel that the other side lacks may stay open, but not be shorted or joined to anything.
            if (wanted.Length == 0 && (grounds.Contains(hot) || ins.Any(i => Hot(i) == hot)))
                return false;
            if (outs.Any(o => !o.Equals(source) && Hot(o) == hot) || Colds().Contains(hot))
                return false;
            if (wanted.Length == 0)
                continue;
            var sink = wanted[0];
            if (Hot(sink) != hot || grounds.Contains(hot) || ins.Any(i => !i.Equals(sink) && Hot(i) == hot))
                return false;
            var facts = new LaneFacts
            {
                AttenuationDb = chosen
                    .Select(
                        (p, t) => p.Wires.Any(w => w.IsAttenuated && Find(At(t, w.FromEnd, w.FromContact)) == hot) ? p.AttenuationDb : 0
                    )
                    .Sum(),
                BlocksDc = Through(hot, p => p.BlocksDc),
                IsIsolated = Through(hot, p => p.Isolates),
                TakesSpeakerLevel = Through(hot, p => p.TakesSpeakerLevel),
                SourceCold = Cold(source, sink),
                SinkCold = Cold(sink, source),
                IsGroundJoined =
                    Find(source.First + Contact(source.Socket, source.Lane.Ground))
                    == Find(sink.First + Contact(sink.Socket, sink.Lane.Ground)),
            };
            if (LaneRules.Judge(source.Lane, sink.Lane, facts, false).Any(h => h.Severity == Severity.Refuse))
                return false;
        }
        // An input that is wanted must not be grounded, one that is not wanted may; cold legs meet their own partner or ground.
        foreach (var sink in ins.Where(i => outs.Any(o => o.IsA != i.IsA && o.Lane.Channel == i.Lane.Channel)))
            if (grounds.Contains(Hot(sink)) || Colds().Contains(Hot(sink)))
                return false;
        return true;

        List<(bool IsA, Socket Socket, SocketLane Lane, int First)> Lanes(Flow flow) =>
            [.. a.Concat(b).SelectMany((s, i) => s.Lanes.Where(l => l.Flow == flow).Select(l => (i < a.Count, s, l, first[i])))];

        int Hot((bool IsA, Socket Socket, SocketLane Lane, int First) lane) => Find(lane.First + Contact(lane.Socket, lane.Lane.Hot));

        HashSet<int> Colds() =>
            [.. outs.Concat(ins).Where(l => l.Lane.Cold is not null).Select(l => Find(l.First + Contact(l.Socket, l.Lane.Cold!)))];

        ColdLeg Cold(
            (bool IsA, Socket Socket, SocketLane Lane, int First) lane,
            (bool IsA, Socket Socket, SocketLane Lane, int First) other
        )
        {
            if (lane.Lane.Cold is not { } cold)
                return ColdLeg.None;
            var net = Find(lane.First + Contact(lane.Socket, cold));
            return grounds.Contains(net) ? ColdLeg.Ground
                : other.Lane.Cold is { } partner && Find(other.First + Contact(other.Socket, partner)) == net ? ColdLeg.Joined
                : ColdLeg.Open;
        }

        bool Through(int net, Func<PartType, bool> has) =>
            chosen.Where((p, t) => has(p) && p.Wires.Any(w => Find(At(t, w.FromEnd, w.FromContact)) == net)).Any();

        int At(int thing, int end, int contact) => first[ends.FindIndex(e => e.Thing == thing && e.End == end)] + contact;

        static int Contact(Socket socket, string name) => socket.Shape.IndexOf(name);

        int Find(int i)
        {
            while (node[i] != i)
                i = node[i];
            return i;
        }

        void Union(int i, int j) => node[Find(i)] = Find(j);
    }
}
