using Offtape.Report;

namespace Offtape.Studio;

/// <summary>Turns a wiring into a diagram: what hangs together is one bundle; pieces on the way of one socket only are written on its leg.</summary>
internal static class PatchDrawing
{
    public static JoinDiagram Of(Rig rig, Wiring wiring, IReadOnlyList<JoinedLane> lanes)
    {
        var bundles = new List<(int Machine, int Order, DiagramBundle Bundle)>();
        foreach (var knot in Knots(wiring))
        {
            var points = knot.SelectMany(j => new[] { j.A, j.B }).ToArray();
            var pieces = points.Where(p => !p.IsOnDevice).Select(p => p.Piece).Distinct().ToArray();
            var left = InOrder(rig, rig.Interface, points);
            foreach (var (machine, number) in rig.Machines.Select((m, i) => (m, i)))
            {
                var right = InOrder(rig, machine, points);
                if (right.Count == 0 && !(number == 0 && points.All(p => p.Device is null || p.Device == rig.Interface.Name)))
                    continue;
                var own = lanes.Where(l => l.Pieces.Any(pieces.Contains)).ToArray();
                var isBack = own.Any(l => l.SinkDevice == rig.Interface);
                var legs = Legs(wiring, knot, [.. left, .. right]);
                var onLegs = legs.Values.SelectMany(l => l).ToHashSet();
                var trunk = Trunk(knot, pieces.Where(p => !onLegs.Contains(p)).ToArray());
                bundles.Add(
                    (
                        number,
                        isBack ? 1 : 0,
                        new DiagramBundle(
                            [.. left.Select(p => Leg(rig, wiring, p, legs))],
                            [.. right.Select(p => Leg(rig, wiring, p, legs))],
                            machine.Name,
                            string.Join(" + ", trunk.Select(p => Words(wiring, p))),
                            isBack && own.All(l => l.SinkDevice == rig.Interface) ? InkRole.Ink : InkRole.Accent
                        )
                    )
                );
            }
        }
        return new JoinDiagram(
            $"Patch of {rig.Interface.Name} with {string.Join(", ", rig.Machines.Select(m => m.Name))}",
            rig.Interface.Name,
            [
                .. bundles
                    .OrderBy(b => b.Machine)
                    .ThenBy(b => b.Order)
                    .Select(b => b.Bundle)
                    .Where(b => b.Left.Count > 0 && b.Right.Count > 0),
            ]
        );
    }

    public static string Words(Wiring wiring, int piece) => $"{piece}: {wiring.Piece(piece).Type.Words}";

    /// <summary>Joins that hang together through pieces.</summary>
    private static IReadOnlyList<IReadOnlyList<PatchJoin>> Knots(Wiring wiring)
    {
        var knots = new List<List<PatchJoin>>();
        foreach (var join in wiring.Joins)
        {
            var pieces = new[] { join.A.Piece, join.B.Piece }.Where(p => p > 0).ToArray();
            var touching = knots.Where(k => k.Any(j => pieces.Contains(j.A.Piece) || pieces.Contains(j.B.Piece))).ToArray();
            List<PatchJoin> merged = [.. touching.SelectMany(k => k), join];
            knots.RemoveAll(touching.Contains);
            knots.Add(merged);
        }
        return knots;
    }

    private static List<PatchPoint> InOrder(Rig rig, StudioDevice device, IReadOnlyList<PatchPoint> points) =>
        [.. device.Sockets.Select(s => points.FirstOrDefault(p => p.Device == device.Name && p.Socket == s.Name)).OfType<PatchPoint>()];

    // From a socket inwards, as long as each piece goes on to one other thing only. A chain from one socket to one other is a trunk, no leg.
    private static Dictionary<PatchPoint, IReadOnlyList<int>> Legs(
        Wiring wiring,
        IReadOnlyList<PatchJoin> knot,
        IReadOnlyList<PatchPoint> sockets
    )
    {
        var legs = new Dictionary<PatchPoint, IReadOnlyList<int>>();
        foreach (var socket in sockets)
        {
            var leg = new List<int>();
            if (sockets.Count > 2)
            {
                var at = socket;
                while (Other(knot, at) is { IsOnDevice: false } inside && Exits(knot, inside) is [var exit])
                {
                    leg.Add(inside.Piece);
                    at = exit;
                }
            }
            legs[socket] = leg;
        }
        return legs;
    }

    private static PatchPoint? Other(IReadOnlyList<PatchJoin> knot, PatchPoint point) =>
        knot.Where(j => j.A == point || j.B == point).Select(j => j.A == point ? j.B : j.A).FirstOrDefault();

    private static PatchPoint[] Exits(IReadOnlyList<PatchJoin> knot, PatchPoint inside) =>
        [.. knot.SelectMany(j => new[] { j.A, j.B }).Where(p => p.Piece == inside.Piece && p != inside)];

    // In the order in which the sound meets them, from the left.
    private static IEnumerable<int> Trunk(IReadOnlyList<PatchJoin> knot, int[] pieces)
    {
        var met = new List<int>();
        foreach (var join in knot)
        foreach (var piece in new[] { join.A.Piece, join.B.Piece })
            if (pieces.Contains(piece) && !met.Contains(piece))
                met.Add(piece);
        return met;
    }

    private static DiagramLeg Leg(Rig rig, Wiring wiring, PatchPoint socket, Dictionary<PatchPoint, IReadOnlyList<int>> legs) =>
        new(
            socket.Socket,
            string.Join(" + ", legs[socket].Select(p => Words(wiring, p))),
            rig.Find(socket) is { } found && found.Socket.Lanes.Any(l => l.Flow == Flow.In)
        );
}
