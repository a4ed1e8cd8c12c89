using System.Text;

namespace Offtape.Studio;

/// <summary>One channel that has to get from a socket of one side to a socket of the other; which way, the lanes say.</summary>
/// <param name="SocketA">Which socket of side A.</param>
/// <param name="LaneA">Its lane.</param>
/// <param name="SocketB">Which socket of side B.</param>
/// <param name="LaneB">Its lane; the one of the two that flows out is the source.</param>
internal sealed record JoinLane(int SocketA, SocketLane LaneA, int SocketB, SocketLane LaneB)
{
    public bool IsFromA => LaneA.Flow == Flow.Out;

    public SocketLane Source => IsFromA ? LaneA : LaneB;

    public SocketLane Sink => IsFromA ? LaneB : LaneA;
}

/// <summary>Sockets of two things, all of which are to be joined by one lot of pieces, and the channels that are wanted through them.</summary>
internal sealed record JoinTask(
    IReadOnlyList<Socket> SideA,
    IReadOnlyList<Socket> SideB,
    IReadOnlyList<JoinLane> Lanes,
    bool AreBothEarthed
)
{
    /// <summary>
    /// The same task seen from the side with fewer sockets: what a shared socket forks into is met first, and each branch then goes its own way.
    /// </summary>
    public JoinTask FromTheFewerSockets() =>
        SideA.Count <= SideB.Count
            ? this
            : new JoinTask(SideB, SideA, [.. Lanes.Select(l => new JoinLane(l.SocketB, l.LaneB, l.SocketA, l.LaneA))], AreBothEarthed);

    /// <summary>Two tasks with the same signature have the same answers: names do not matter.</summary>
    public string Signature()
    {
        var text = new StringBuilder(AreBothEarthed ? "E" : "-");
        foreach (var (side, sockets) in new[] { ('A', SideA), ('B', SideB) })
        foreach (var socket in sockets)
        {
            text.Append(side).Append(socket.Shape.Id).Append(socket.Gender);
            foreach (var l in socket.Lanes)
                text.Append(
                    $"[{l.Flow} {l.Kind} {l.Hot} {l.Cold} {l.Ground} {l.NominalDbu:R} {l.Ohms:R} {l.Balance} {l.Phantom} {l.HasPlugInPower} {l.HasAutomaticLevel}]"
                );
        }
        foreach (var lane in Lanes)
            text.Append($"|{lane.SocketA}.{lane.LaneA.Hot}{lane.LaneA.Flow}>{lane.SocketB}.{lane.LaneB.Hot}");
        return text.ToString();
    }
}
