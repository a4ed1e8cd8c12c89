namespace Offtape.Studio;

/// <summary>What the hot leg of an output is joined to: the inputs it feeds, and what it must not meet.</summary>
internal sealed class LaneMeetings
{
    private readonly StudioDevice _device;
    private readonly Socket _socket;
    private readonly SocketLane _lane;
    private readonly List<(StudioDevice Device, Socket Socket, SocketLane Lane)> _outputs = [];
    private readonly List<(StudioDevice Device, Socket Socket, SocketLane Lane)> _turned = [];
    private readonly bool _isShorted;

    public LaneMeetings(Rig rig, StudioDevice device, Socket socket, SocketLane lane, IReadOnlyDictionary<ContactAt, Reached> reached)
    {
        (_device, _socket, _lane) = (device, socket, lane);
        var inputs = new List<(StudioDevice, Socket, SocketLane, Reached)>();
        foreach (var otherDevice in rig.Devices)
        foreach (var otherSocket in otherDevice.Sockets)
        foreach (var other in otherSocket.Lanes)
        {
            if (ReferenceEquals(other, lane) && ReferenceEquals(otherSocket, socket) && otherDevice == device)
                continue;
            var hot = WiringGraph.At(otherDevice, otherSocket, other.Hot);
            if (reached.TryGetValue(hot, out var way))
            {
                if (other.Flow == Flow.In)
                    inputs.Add((otherDevice, otherSocket, other, way));
                else
                    _outputs.Add((otherDevice, otherSocket, other));
            }
            if (other.Cold is not null && reached.ContainsKey(WiringGraph.At(otherDevice, otherSocket, other.Cold)))
                _turned.Add((otherDevice, otherSocket, other));
            _isShorted |= reached.ContainsKey(WiringGraph.At(otherDevice, otherSocket, other.Ground));
        }
        _isShorted |= reached.ContainsKey(WiringGraph.At(device, socket, lane.Ground));
        Inputs = _isShorted ? [] : inputs;
    }

    public IReadOnlyList<(StudioDevice Device, Socket Socket, SocketLane Lane, Reached Way)> Inputs { get; }

    /// <param name="known">What was found before: what has a reason of its own is not told twice.</param>
    public IEnumerable<Hazard> Hazards(IReadOnlyList<Hazard> known)
    {
        var where = $"{_device.Name} {_socket.Name}";
        foreach (var (device, socket, other) in _outputs)
        {
            // Each pair once.
            if (string.CompareOrdinal($"{_device.Name}{_socket.Name}{_lane.Hot}", $"{device.Name}{socket.Name}{other.Hot}") > 0)
                continue;
            var isDin = _socket.Shape.ContactDegrees.Count > 0 || socket.Shape.ContactDegrees.Count > 0;
            yield return isDin
                ? new Hazard(
                    HazardCode.RecordReplaySwapped,
                    Severity.Refuse,
                    $"{where} with {device.Name} {socket.Name}",
                    "Two outputs meet on a DIN lead: record and replay are swapped.",
                    "On a recorder's socket pins 1 and 4 take the sound to be recorded and pins 3 and 5 give the replay: turn the leads over, or between "
                        + "two recorders use a crossed lead."
                )
                : new Hazard(
                    HazardCode.OutputsJoined,
                    Severity.Refuse,
                    $"{where} with {device.Name} {socket.Name}",
                    "Two outputs are joined: each drives into the other.",
                    "Give each output its own input, or mix them in a mixer."
                );
        }
        foreach (var (device, socket, _) in _turned)
            yield return new Hazard(
                HazardCode.PolarityTurned,
                Severity.Warn,
                $"{where} to {device.Name} {socket.Name}",
                "The hot leg of the output meets the cold leg of the input or of another output: the polarity is turned over, or a leg is shorted.",
                "Use a lead that is wired pin 2 to tip and pin 3 to ring."
            );
        if (_isShorted && !known.Any(h => h.Code == HazardCode.MonoPlugInStereoSocket && h.Where == where))
            yield return new Hazard(
                HazardCode.OutputShorted,
                Severity.Refuse,
                where,
                $"Channel {_lane.Channel} of the output is joined to ground.",
                "Take another lead: something in it ties the signal to the sleeve."
            );
    }
}
