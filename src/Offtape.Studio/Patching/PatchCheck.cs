namespace Offtape.Studio;

/// <summary>A channel that gets from an output to an input.</summary>
public sealed record JoinedLane(
    StudioDevice SourceDevice,
    Socket SourceSocket,
    SocketLane Source,
    StudioDevice SinkDevice,
    Socket SinkSocket,
    SocketLane Sink,
    LaneFacts Facts,
    IReadOnlyList<int> Pieces
)
{
    /// <summary>How much the input gets over what it wants, in dB.</summary>
    public double MismatchDb => LaneRules.MismatchDb(Source, Sink, Facts);

    /// <summary>As one says it: <c>interface line out 1 to deck line in 1</c>.</summary>
    public string Words =>
        $"{SourceDevice.Name} {SourceSocket.Name}{Part(SourceSocket, Source)} to {SinkDevice.Name} {SinkSocket.Name}{Part(SinkSocket, Sink)}";

    private static string Part(Socket socket, SocketLane lane) =>
        socket.Lanes.Count(l => l.Flow == lane.Flow) > 1 ? $" (channel {lane.Channel})" : "";
}

/// <summary>What a wired patch does, and what of it hurts.</summary>
public sealed record PatchFindings(IReadOnlyList<JoinedLane> Lanes, IReadOnlyList<Hazard> Hazards);

/// <summary>Looks at a patch as it is wired, contact by contact.</summary>
public static class PatchCheck
{
    public static PatchFindings Examine(Rig rig, Wiring wiring)
    {
        var graph = new WiringGraph(rig, wiring);
        var hazards = new List<Hazard>();
        hazards.AddRange(DeviceHazards.Of(rig, wiring));
        hazards.AddRange(PlugHazards.Of(rig, wiring));
        var lanes = new List<JoinedLane>();
        foreach (var device in rig.Devices)
        foreach (var socket in device.Sockets)
        foreach (var source in socket.Lanes.Where(l => l.Flow == Flow.Out))
        {
            var reached = graph.From(WiringGraph.At(device, socket, source.Hot));
            var meetings = new LaneMeetings(rig, device, socket, source, reached);
            hazards.AddRange(meetings.Hazards(hazards));
            foreach (var (sinkDevice, sinkSocket, sink, way) in meetings.Inputs)
            {
                var lane = new JoinedLane(
                    device,
                    socket,
                    source,
                    sinkDevice,
                    sinkSocket,
                    sink,
                    Facts(graph, device, socket, source, sinkDevice, sinkSocket, sink, way),
                    [.. way.Pieces.Distinct()]
                );
                lanes.Add(lane);
                hazards.AddRange(LaneRules.Judge(source, sink, lane.Facts, device.HasSafetyEarth && sinkDevice.HasSafetyEarth, lane.Words));
            }
        }
        hazards.AddRange(PortHazards.Of(rig, lanes, graph));
        return new PatchFindings(lanes, [.. hazards.Distinct().OrderByDescending(h => h.Severity)]);
    }

    private static LaneFacts Facts(
        WiringGraph graph,
        StudioDevice sourceDevice,
        Socket sourceSocket,
        SocketLane source,
        StudioDevice sinkDevice,
        Socket sinkSocket,
        SocketLane sink,
        Reached way
    )
    {
        var sourceGround = WiringGraph.At(sourceDevice, sourceSocket, source.Ground);
        var sinkGround = WiringGraph.At(sinkDevice, sinkSocket, sink.Ground);
        return new LaneFacts
        {
            AttenuationDb = way.AttenuationDb,
            BlocksDc = way.BlocksDc,
            IsIsolated = way.Isolates,
            TakesSpeakerLevel = way.TakesSpeaker,
            SourceCold = Cold(source.Cold, sourceDevice, sourceSocket, sink.Cold, sinkDevice, sinkSocket),
            SinkCold = Cold(sink.Cold, sinkDevice, sinkSocket, source.Cold, sourceDevice, sourceSocket),
            IsGroundJoined = graph.From(sourceGround).ContainsKey(sinkGround),
        };

        ColdLeg Cold(string? cold, StudioDevice device, Socket socket, string? otherCold, StudioDevice otherDevice, Socket otherSocket)
        {
            if (cold is null)
                return ColdLeg.None;
            var reached = graph.From(WiringGraph.At(device, socket, cold));
            if (reached.ContainsKey(sourceGround) || reached.ContainsKey(sinkGround))
                return ColdLeg.Ground;
            return otherCold is not null && reached.ContainsKey(WiringGraph.At(otherDevice, otherSocket, otherCold))
                ? ColdLeg.Joined
                : ColdLeg.Open;
        }
    }
}
