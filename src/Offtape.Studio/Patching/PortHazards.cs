namespace Offtape.Studio;

/// <summary>What shows only when all channels are looked at together: crossed channels, swapped DIN lines, round ways.</summary>
internal static class PortHazards
{
    public static IEnumerable<Hazard> Of(Rig rig, IReadOnlyList<JoinedLane> lanes, WiringGraph graph) =>
        [.. Crossed(lanes), .. SwappedInputs(rig, graph), .. RoundWays(rig, lanes)];

    // Channels of one machine that go to channels of another in another order.
    private static IEnumerable<Hazard> Crossed(IReadOnlyList<JoinedLane> lanes)
    {
        foreach (var way in lanes.GroupBy(l => (From: l.SourceDevice.Name, To: l.SinkDevice.Name)))
        {
            var ordered = way.OrderBy(l => l.Source.Channel).ToArray();
            for (var i = 1; i < ordered.Length; i++)
                if (ordered[i].Sink.Channel < ordered[i - 1].Sink.Channel && ordered[i].Source.Channel > ordered[i - 1].Source.Channel)
                    yield return new Hazard(
                        HazardCode.ChannelsCrossed,
                        Severity.Warn,
                        ordered[i].Words,
                        "Channels are crossed: what leaves first does not arrive first.",
                        "Swap the plugs, or let offtape return put the channels right (it finds them by their sound)."
                    );
        }
    }

    // Two inputs on one DIN pin, and nothing that feeds them: the other face of swapped lines.
    private static IEnumerable<Hazard> SwappedInputs(Rig rig, WiringGraph graph)
    {
        foreach (var device in rig.Devices)
        foreach (var socket in device.Sockets.Where(s => s.Shape.ContactDegrees.Count > 0))
        foreach (var lane in socket.Lanes.Where(l => l.Flow == Flow.In))
        {
            var reached = graph.From(WiringGraph.At(device, socket, lane.Hot));
            var others = rig
                .Devices.Where(d => d != device)
                .SelectMany(d =>
                    d.Sockets.SelectMany(s => s.Lanes.Where(l => reached.ContainsKey(WiringGraph.At(d, s, l.Hot))).Select(l => (d, s, l)))
                )
                .ToArray();
            if (others.Length > 0 && others.All(o => o.l.Flow == Flow.In))
                yield return new Hazard(
                    HazardCode.RecordReplaySwapped,
                    Severity.Refuse,
                    $"{device.Name} {socket.Name} with {others[0].d.Name} {others[0].s.Name}",
                    "Two inputs meet on a DIN lead, and nothing feeds them: record and replay are swapped.",
                    "On a recorder's socket pins 1 and 4 take the sound to be recorded and pins 3 and 5 give the replay: turn the leads over, or between "
                        + "two recorders use a crossed lead."
                );
        }
    }

    private static IEnumerable<Hazard> RoundWays(Rig rig, IReadOnlyList<JoinedLane> lanes)
    {
        foreach (var monitor in rig.Monitoring)
        {
            var back = lanes.FirstOrDefault(l => l.SinkDevice == rig.Interface && InputNumber(rig, l) == monitor.Input);
            var sends = lanes.Where(l => l.SourceDevice == rig.Interface && OutputNumber(rig, l) == monitor.Output);
            if (back is not null && sends.FirstOrDefault(s => s.SinkDevice == back.SourceDevice) is { } send)
                yield return new Hazard(
                    HazardCode.HowlRound,
                    Severity.Refuse,
                    $"input {monitor.Input} monitored to output {monitor.Output}",
                    $"What comes back from {back.SourceDevice.Name} is sent to it again ({send.Words}): it howls, and the howl is printed.",
                    "Switch direct monitoring of that input off, or send it to outputs that feed headphones only."
                );
        }
    }

    /// <summary>Inputs of the interface are counted through, over all its ports.</summary>
    private static int InputNumber(Rig rig, JoinedLane lane) => Number(rig, Flow.In, lane.SinkSocket, lane.Sink);

    private static int OutputNumber(Rig rig, JoinedLane lane) => Number(rig, Flow.Out, lane.SourceSocket, lane.Source);

    private static int Number(Rig rig, Flow flow, Socket socket, SocketLane lane)
    {
        var number = 0;
        foreach (var port in rig.Interface.Ports)
        foreach (var (s, l) in port.Lanes(flow))
        {
            number++;
            if (ReferenceEquals(s, socket) && ReferenceEquals(l, lane))
                return number;
        }
        return 0;
    }
}
