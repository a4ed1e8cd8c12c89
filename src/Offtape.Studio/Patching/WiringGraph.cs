namespace Offtape.Studio;

/// <summary>A contact of a socket or of an end of a piece.</summary>
/// <param name="Point">Which socket or end.</param>
/// <param name="Contact">Which contact, by its place in the shape.</param>
internal readonly record struct ContactAt(PatchPoint Point, int Contact);

/// <summary>What a walk through the wiring met, and what lay on the way there.</summary>
internal readonly record struct Reached(double AttenuationDb, bool BlocksDc, bool Isolates, bool TakesSpeaker, IReadOnlyList<int> Pieces);

/// <summary>All contacts of a wired patch, and what each is joined to: through plugs in sockets and wires inside pieces.</summary>
internal sealed class WiringGraph
{
    private readonly Dictionary<ContactAt, List<(ContactAt To, PartType? Through, bool IsAttenuated, int Piece)>> _edges = [];

    public WiringGraph(Rig rig, Wiring wiring)
    {
        foreach (var piece in wiring.Pieces)
        foreach (var wire in piece.Type.Wires)
            Join(
                new ContactAt(PatchPoint.Of(piece, wire.FromEnd), wire.FromContact),
                new ContactAt(PatchPoint.Of(piece, wire.ToEnd), wire.ToContact),
                piece.Type,
                wire.IsAttenuated,
                piece.Number
            );
        foreach (var join in wiring.Joins)
        {
            if (Shape(rig, wiring, join.A) is not { } a || Shape(rig, wiring, join.B) is not { } b || a.Gender == b.Gender)
                continue;
            var (plug, socket, plugShape, socketShape) =
                a.Gender == PlugGender.Plug ? (join.A, join.B, a.Shape, b.Shape) : (join.B, join.A, b.Shape, a.Shape);
            foreach (var (p, s) in PlugShapes.Touching(plugShape, socketShape))
                Join(new ContactAt(plug, p), new ContactAt(socket, s), null, false, 0);
        }
        // The grounds of a device's sockets are one inside it.
        foreach (var device in rig.Devices)
        {
            var grounds = device.Sockets.SelectMany(s => s.Lanes.Select(l => At(device, s, l.Ground))).Distinct().ToArray();
            for (var i = 1; i < grounds.Length; i++)
                Join(grounds[0], grounds[i], null, false, 0);
        }
    }

    public static ContactAt At(StudioDevice device, Socket socket, string contact) =>
        new(PatchPoint.On(device.Name, socket.Name), socket.Shape.IndexOf(contact));

    /// <summary>Shape and gender of a point; null where there is none of that name.</summary>
    public static (PlugShape Shape, PlugGender Gender)? Shape(Rig rig, Wiring wiring, PatchPoint point)
    {
        if (!point.IsOnDevice)
            return wiring.Piece(point.Piece).Type.Ends[point.End] is var end ? (end.Shape, end.Gender) : null;
        return rig.Find(point) is { } found ? (found.Socket.Shape, found.Socket.Gender) : null;
    }

    /// <summary>Every contact that hangs together with one, with what lies between.</summary>
    public IReadOnlyDictionary<ContactAt, Reached> From(ContactAt start)
    {
        var reached = new Dictionary<ContactAt, Reached> { [start] = new(0, false, false, false, []) };
        var queue = new Queue<ContactAt>([start]);
        while (queue.TryDequeue(out var at))
        {
            var here = reached[at];
            foreach (var (to, through, isAttenuated, piece) in _edges.GetValueOrDefault(at) ?? [])
            {
                if (reached.ContainsKey(to))
                    continue;
                reached[to] = through is null
                    ? here
                    : new Reached(
                        here.AttenuationDb + (isAttenuated ? through.AttenuationDb : 0),
                        here.BlocksDc || through.BlocksDc,
                        here.Isolates || through.Isolates,
                        here.TakesSpeaker || through.TakesSpeakerLevel,
                        [.. here.Pieces, piece]
                    );
                queue.Enqueue(to);
            }
        }
        return reached;
    }

    private void Join(ContactAt a, ContactAt b, PartType? through, bool isAttenuated, int piece)
    {
        Edges(a).Add((b, through, isAttenuated, piece));
        Edges(b).Add((a, through, isAttenuated, piece));

        List<(ContactAt, PartType?, bool, int)> Edges(ContactAt contact) =>
            _edges.TryGetValue(contact, out var list) ? list : _edges[contact] = [];
    }
}
