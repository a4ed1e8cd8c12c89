using System.Text;

namespace Offtape.Studio;

/// <summary>An end that nothing is plugged into yet.</summary>
/// <param name="Shape">Its shape.</param>
/// <param name="Gender">Plug or socket.</param>
/// <param name="Nets">For each contact, which net of the state it is on.</param>
/// <param name="IsOnDevice">A socket of side A: something has to go into it.</param>
/// <param name="Depth">How many pieces lie between it and the socket that its chain begins at.</param>
/// <param name="MayHang">An end of a part with several: it may stay unused.</param>
internal sealed record OpenEnd(PlugShape Shape, PlugGender Gender, int[] Nets, bool IsOnDevice, int Depth, bool MayHang)
{
    public bool Mates(PlugShape shape, PlugGender gender) =>
        Gender != gender && (Gender == PlugGender.Plug ? PlugShapes.Fits(Shape, shape) : PlugShapes.Fits(shape, Shape));
}

/// <summary>Half-finished wiring: the open ends in their order, the sockets of side B that are still empty, and all nets. Immutable.</summary>
internal sealed class JoinState
{
    private readonly JoinRules _rules;

    private JoinState(JoinRules rules, OpenEnd[] ends, int[]?[] sinks, Net[] nets, uint lanes, bool isLinked, bool mustShare) =>
        (_rules, Ends, Sinks, Nets, Lanes, IsLinked, MustShare) = (rules, ends, sinks, nets, lanes, isLinked, mustShare);

    public OpenEnd[] Ends { get; }

    /// <summary>For each socket of side B the nets of its contacts; null once something is plugged in.</summary>
    public int[]?[] Sinks { get; }

    public Net[] Nets { get; }

    /// <summary>One bit for each wanted channel that is dealt with here.</summary>
    public uint Lanes { get; }

    /// <summary>A spare end of a part that carries one channel was used for another one.</summary>
    public bool IsLinked { get; }

    /// <summary>Only ways in which the channels share a piece are looked for.</summary>
    public bool MustShare { get; }

    /// <summary>Which channels an open end or an empty socket carries, or is for; 0 for a spare end.</summary>
    public uint LanesOn(int[] nets)
    {
        var marks = 0UL;
        foreach (var net in nets)
            marks |= Nets[net].Marks;
        return Net.LanesOf(marks);
    }

    public bool IsComplete => Ends.Length == 0 && Sinks.All(s => s is null);

    public static JoinState Start(JoinRules rules, bool mustShare)
    {
        var (nets, ends, sinks) = rules.Initial();
        return new JoinState(rules, ends, sinks, nets, (1u << rules.Task.Lanes.Count) - 1, false, mustShare);
    }

    /// <summary>A part of it that goes its own way: some of the open ends, some of the sockets of side B, some of the channels.</summary>
    public JoinState Only(IReadOnlyList<int> ends, IReadOnlyList<int> sinks, uint lanes, bool mustShare) =>
        Compacted(
            [.. ends.Select(e => Ends[e])],
            [.. Sinks.Select((s, i) => sinks.Contains(i) ? s : null)],
            Nets,
            Identity(Nets.Length),
            false,
            lanes,
            mustShare
        );

    /// <summary>An open end goes into a socket of side B; null where that joins what must not be joined.</summary>
    public JoinState? PlugIntoSink(int end, int sink)
    {
        var nets = Nets.ToArray();
        var map = Identity(nets.Length);
        if (!Mate(Ends[end], _rules.Task.SideB[sink].Shape, Sinks[sink]!, nets, map))
            return null;
        var sinks = Sinks.ToArray();
        sinks[sink] = null;
        return Compacted(Without(end), sinks, nets, map, IsLinked);
    }

    /// <summary>An open end goes into another open one.</summary>
    public JoinState? PlugTogether(int end, int other)
    {
        var nets = Nets.ToArray();
        var map = Identity(nets.Length);
        if (!Mate(Ends[end], Ends[other].Shape, Ends[other].Nets, nets, map))
            return null;
        var isLink = LanesOn(Ends[other].Nets) == 0;
        return Compacted([.. Ends.Where((_, i) => i != end && i != other)], Sinks, nets, map, IsLinked || isLink);
    }

    /// <summary>A part is plugged with one of its ends into an open end; its other ends are the next open ones.</summary>
    public JoinState? Add(int end, PartType part, int partEnd)
    {
        var nets = Nets.ToList();
        var partNets = new int[part.Ends.Count][];
        for (var e = 0; e < partNets.Length; e++)
        {
            partNets[e] = new int[part.Ends[e].Shape.Contacts.Count];
            for (var c = 0; c < partNets[e].Length; c++)
            {
                partNets[e][c] = nets.Count;
                nets.Add(default);
            }
        }
        var all = nets.ToArray();
        var map = Identity(all.Length);
        foreach (var wire in part.Wires)
        {
            var through = wire.IsAttenuated ? part.AttenuationDb : 0;
            var (a, b) = (partNets[wire.FromEnd][wire.FromContact], partNets[wire.ToEnd][wire.ToContact]);
            if (!Merge(a, b, all, map, new Net(0, through, part.BlocksDc, part.Isolates, part.TakesSpeakerLevel)))
                return null;
        }
        if (!Mate(Ends[end], part.Ends[partEnd].Shape, partNets[partEnd], all, map))
            return null;
        var added = Enumerable
            .Range(0, part.Ends.Count)
            .Where(e => e != partEnd)
            .Select(e => new OpenEnd(
                part.Ends[e].Shape,
                part.Ends[e].Gender,
                partNets[e],
                false,
                Ends[end].Depth + 1,
                part.Ends.Count > 2
            ));
        return Compacted([.. added, .. Without(end)], Sinks, all, map, IsLinked);
    }

    /// <summary>An end of a part with several hangs free.</summary>
    public JoinState Hang(int end) => Compacted(Without(end), Sinks, Nets, Identity(Nets.Length), IsLinked);

    /// <summary>What is still open, all of it spare ends, hangs free.</summary>
    public JoinState LeaveAll() => Compacted([], Sinks, Nets, Identity(Nets.Length), IsLinked);

    /// <summary>The same for two states that can only go on alike.</summary>
    public string Key()
    {
        var text = new StringBuilder(128);
        text.Append((char)(Lanes + 1))
            .Append(
                IsLinked ? '+'
                : MustShare ? '!'
                : '-'
            );
        foreach (var end in Ends)
        {
            var kind = 2 * PlugShapes.NumberOf(end.Shape) + (end.Gender == PlugGender.Plug ? 0 : 1);
            text.Append(
                (char)(
                    (kind * 8 + end.Depth) * 4
                    + (
                        end.IsOnDevice ? 2
                        : end.MayHang ? 1
                        : 0
                    )
                    + 1
                )
            );
            foreach (var net in end.Nets)
                text.Append((char)(net + 1));
        }
        foreach (var sink in Sinks)
        {
            text.Append('/');
            foreach (var net in sink ?? [])
                text.Append((char)(net + 1));
        }
        foreach (var net in Nets)
        {
            for (var shift = 0; shift < 64; shift += 16)
                text.Append((char)(net.Marks >> shift & 0xFFFF));
            text.Append((char)((net.BlocksDc ? 1 : 0) + (net.Isolates ? 2 : 0) + (net.TakesSpeaker ? 4 : 0)));
            if (net.AttenuationDb != 0)
                text.Append(net.AttenuationDb);
        }
        return text.ToString();
    }

    private OpenEnd[] Without(int end) => [.. Ends.Where((_, i) => i != end)];

    private bool Mate(OpenEnd end, PlugShape shape, int[] otherNets, Net[] nets, int[] map)
    {
        var isPlug = end.Gender == PlugGender.Plug;
        var touching = isPlug ? PlugShapes.Touching(end.Shape, shape) : PlugShapes.Touching(shape, end.Shape);
        foreach (var (plug, socket) in touching)
        {
            var (mine, other) = isPlug ? (plug, socket) : (socket, plug);
            if (!Merge(end.Nets[mine], otherNets[other], nets, map, default))
                return false;
        }
        return touching.Count > 0;
    }

    private bool Merge(int a, int b, Net[] nets, int[] map, Net between)
    {
        (a, b) = (Root(a, map), Root(b, map));
        var merged = (a == b ? nets[a] : nets[a].With(nets[b], _rules.UnwantedSinkHots)).With(between, _rules.UnwantedSinkHots);
        if (merged.IsWrong)
            return false;
        nets[a] = merged;
        map[b] = a;
        return true;
    }

    private static int Root(int net, int[] map)
    {
        while (map[net] != net)
            net = map[net];
        return net;
    }

    private static int[] Identity(int count) => [.. Enumerable.Range(0, count)];

    // Nets numbered anew in the order they are met; what is on no open contact and carries nothing is dropped.
    private JoinState Compacted(
        OpenEnd[] ends,
        int[]?[] sinks,
        Net[] nets,
        int[] map,
        bool isLinked,
        uint? lanes = null,
        bool? mustShare = null
    )
    {
        var own = lanes ?? Lanes;
        var marks = Net.Grounds | Net.MarksOf(own);
        var numbers = new int[nets.Length];
        Array.Fill(numbers, -1);
        var kept = new List<Net>();
        var newEnds = ends.Select(e => e with { Nets = [.. e.Nets.Select(Number)] }).ToArray();
        var newSinks = sinks.Select(s => s is null ? null : s.Select(Number).ToArray()).ToArray();
        var closed = Enumerable
            .Range(0, nets.Length)
            .Where(n => map[n] == n && numbers[n] < 0 && nets[n].Has(marks))
            .Select(n => nets[n])
            .OrderBy(n => n.Marks);
        kept.AddRange(closed);
        return new JoinState(_rules, newEnds, newSinks, [.. kept], own, isLinked, mustShare ?? MustShare);

        int Number(int net)
        {
            var root = Root(net, map);
            if (numbers[root] < 0)
            {
                numbers[root] = kept.Count;
                kept.Add(nets[root]);
            }
            return numbers[root];
        }
    }
}
