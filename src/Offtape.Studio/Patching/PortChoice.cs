namespace Offtape.Studio;

/// <summary>Which sockets of interface and machine are used for the way there and the way back, and the channels that gives.</summary>
internal sealed record PortChoice(IReadOnlyList<WantedLane> Lanes, int KindRank)
{
    public int LaneCount => Lanes.Count;

    /// <summary>Every choice of ports. Sockets of the interface that are taken are left out.</summary>
    public static IEnumerable<PortChoice> All(StudioDevice desk, StudioDevice machine, IReadOnlySet<Socket> taken)
    {
        var records = Ways(desk, machine, Flow.Out, taken);
        var replays = Ways(desk, machine, Flow.In, taken);
        foreach (var record in records)
        foreach (var replay in replays)
        {
            // One socket cannot be the end of two different leads; a DIN socket that does both is one knot.
            var lanes = record.Lanes.Concat(replay.Lanes).ToArray();
            if (lanes.Length > 0)
                yield return new PortChoice(lanes, record.Rank + replay.Rank);
        }
    }

    private static IReadOnlyList<(IReadOnlyList<WantedLane> Lanes, int Rank)> Ways(
        StudioDevice desk,
        StudioDevice machine,
        Flow fromDesk,
        IReadOnlySet<Socket> taken
    )
    {
        var ways = new List<(IReadOnlyList<WantedLane>, int)>();
        var atMachine = fromDesk == Flow.Out ? Flow.In : Flow.Out;
        foreach (var own in DeskLanes(desk, fromDesk, taken))
        foreach (var port in machine.PortsWith(atMachine))
        {
            var theirs = port.Lanes(atMachine).ToArray();
            var count = Math.Min(own.Count, theirs.Length);
            var lanes = Enumerable
                .Range(0, count)
                .Select(i => new WantedLane(own[i].Socket, own[i].Lane, theirs[i].Socket, theirs[i].Lane))
                .ToArray();
            if (count > 0)
                ways.Add((lanes, Rank(own[0].Lane.Kind) + Rank(theirs[0].Lane.Kind)));
        }
        // A machine may have nothing to record into, or the interface no input: the other way still counts.
        ways.Add(([], 0));
        return ways;
    }

    // Each port of the interface by itself, and all its line sockets as one.
    private static IEnumerable<IReadOnlyList<(Socket Socket, SocketLane Lane)>> DeskLanes(
        StudioDevice desk,
        Flow flow,
        IReadOnlySet<Socket> taken
    )
    {
        var ports = desk.PortsWith(flow)
            .Select(p => p.Lanes(flow).Where(l => !taken.Contains(l.Socket)).ToArray())
            .Where(l => l.Length > 0)
            .ToArray();
        foreach (var port in ports)
            yield return port;
        var lines = ports.Where(p => p[0].Lane.Kind == SignalKind.Line).ToArray();
        if (lines.Length > 1)
            yield return [.. lines.SelectMany(l => l)];
    }

    private static int Rank(SignalKind kind) =>
        kind switch
        {
            SignalKind.Line => 0,
            SignalKind.Instrument => 1,
            SignalKind.DinRecord => 2,
            SignalKind.Microphone => 4,
            SignalKind.Headphone => 5,
            _ => 20,
        };
}
