namespace Offtape.Studio;

/// <summary>What a task begins with, and how what came of it is judged.</summary>
internal sealed class JoinRules
{
    private readonly IReadOnlyList<(bool IsOnA, int Socket, SocketLane Lane, int Wanted)> _lanes;

    public JoinRules(JoinTask task)
    {
        Task = task;
        var lanes = new List<(bool IsOnA, int Socket, SocketLane Lane, int Wanted)>();
        var next = task.Lanes.Count;
        foreach (var (isOnA, sockets) in new[] { (true, task.SideA), (false, task.SideB) })
        {
            for (var s = 0; s < sockets.Count; s++)
                foreach (var lane in sockets[s].Lanes)
                {
                    var wanted = Wanted(isOnA, s, lane);
                    lanes.Add((isOnA, s, lane, wanted >= 0 ? wanted : next++));
                    if (wanted < 0 && lane.Flow == Flow.In)
                        UnwantedSinkHots |= Net.SinkHot(next - 1);
                }
        }
        if (next > Net.MostLanes)
            throw new ArgumentException($"{next} channels in one knot of sockets; {Net.MostLanes} is the most.");
        _lanes = lanes;
    }

    public JoinTask Task { get; }

    /// <summary>Inputs on these sockets that no channel is wanted into.</summary>
    public ulong UnwantedSinkHots { get; }

    /// <summary>Nets, open ends and empty sockets before anything is plugged.</summary>
    public (Net[] Nets, OpenEnd[] Ends, int[]?[] Sinks) Initial()
    {
        var nets = new List<Net> { new(Net.GroundA, 0, false, false, false), new(Net.GroundB, 0, false, false, false) };
        var ends = Task.SideA.Select((s, i) => new OpenEnd(s.Shape, s.Gender, Contacts(true, i, s, nets), true, 0, false)).ToArray();
        var sinks = Task.SideB.Select((s, i) => (int[]?)Contacts(false, i, s, nets)).ToArray();
        return ([.. nets], ends, sinks);
    }

    /// <summary>What became of each channel of the state (null for the others); null where one of them did not get through.</summary>
    public IReadOnlyList<LaneFacts?>? Facts(JoinState state)
    {
        var facts = new LaneFacts?[Task.Lanes.Count];
        for (var k = 0; k < facts.Length; k++)
        {
            if ((state.Lanes >> k & 1) == 0)
                continue;
            if (NetWith(state, Net.SourceHot(k)) is not { } hot || !hot.Has(Net.SinkHot(k)))
                return null;
            facts[k] = new LaneFacts
            {
                AttenuationDb = hot.AttenuationDb,
                IsIsolated = hot.Isolates,
                BlocksDc = hot.BlocksDc,
                TakesSpeakerLevel = hot.TakesSpeaker,
                SourceCold = Task.Lanes[k].Source.Cold is null ? ColdLeg.None : Cold(state, Net.SourceCold(k), Net.SinkCold(k)),
                SinkCold = Task.Lanes[k].Sink.Cold is null ? ColdLeg.None : Cold(state, Net.SinkCold(k), Net.SourceCold(k)),
                IsGroundJoined = NetWith(state, Net.GroundA) is { } ground && ground.Has(Net.GroundB),
            };
        }
        return facts;
    }

    private static ColdLeg Cold(JoinState state, ulong mark, ulong partner)
    {
        var net = NetWith(state, mark);
        return net is not { } found || (found.Marks & ~mark) == 0 ? ColdLeg.Open
            : found.Has(Net.Grounds) ? ColdLeg.Ground
            : found.Has(partner) ? ColdLeg.Joined
            : ColdLeg.Open;
    }

    private static Net? NetWith(JoinState state, ulong mark)
    {
        foreach (var net in state.Nets)
            if (net.Has(mark))
                return net;
        return null;
    }

    private int Wanted(bool isOnA, int socket, SocketLane lane)
    {
        for (var k = 0; k < Task.Lanes.Count; k++)
        {
            var l = Task.Lanes[k];
            if ((isOnA ? l.SocketA : l.SocketB) == socket && Equals(isOnA ? l.LaneA : l.LaneB, lane))
                return k;
        }
        return -1;
    }

    // One net a contact; the grounds of a side are joined inside it.
    private int[] Contacts(bool isOnA, int number, Socket socket, List<Net> nets)
    {
        var own = new int[socket.Shape.Contacts.Count];
        for (var c = 0; c < own.Length; c++)
        {
            var contact = socket.Shape.Contacts[c];
            var marks = 0UL;
            var isGround = false;
            foreach (var (onA, s, lane, k) in _lanes)
            {
                if (onA != isOnA || s != number)
                    continue;
                var isSource = lane.Flow == Flow.Out;
                if (lane.Hot == contact)
                    marks |= isSource ? Net.SourceHot(k) : Net.SinkHot(k);
                if (lane.Cold == contact)
                    marks |= isSource ? Net.SourceCold(k) : Net.SinkCold(k);
                isGround |= lane.Ground == contact;
            }
            if (isGround)
            {
                own[c] = isOnA ? 0 : 1;
                continue;
            }
            own[c] = nets.Count;
            nets.Add(new Net(marks, 0, false, false, false));
        }
        return own;
    }
}
