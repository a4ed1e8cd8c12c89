namespace Offtape.Studio;

/// <summary>What can be seen from a plug and the socket it is in, whatever is at the other end.</summary>
internal static class PlugHazards
{
    public static IEnumerable<Hazard> Of(Rig rig, Wiring wiring)
    {
        foreach (var join in wiring.Joins)
        {
            if (WiringGraph.Shape(rig, wiring, join.A) is not { } a || WiringGraph.Shape(rig, wiring, join.B) is not { } b)
                continue;
            var fits =
                a.Gender != b.Gender
                && (a.Gender == PlugGender.Plug ? PlugShapes.Fits(a.Shape, b.Shape) : PlugShapes.Fits(b.Shape, a.Shape));
            if (!fits)
            {
                yield return new Hazard(
                    HazardCode.DoesNotFit,
                    Severity.Refuse,
                    $"{Name(wiring, join.A)} with {Name(wiring, join.B)}",
                    $"{Words(a)} does not go into {Words(b)}.",
                    a.Shape.ContactDegrees.Count > 0 && b.Shape.ContactDegrees.Count > 0
                        ? "DIN plugs of 180°, 240° and 270° look alike and are not: never force one. Take the right lead."
                        : "Take another lead, or an adapter."
                );
                continue;
            }
            foreach (var (plug, socket, socketPoint) in new[] { (a, b, join.B), (b, a, join.A) })
            {
                if (
                    plug.Gender == PlugGender.Plug
                    && (plug.Shape == PlugShapes.JackMono || plug.Shape == PlugShapes.MiniMono)
                    && (socket.Shape == PlugShapes.JackStereo || socket.Shape == PlugShapes.MiniStereo)
                    && rig.Find(socketPoint) is { } found
                    && found.Socket.Lanes.FirstOrDefault(l => l.Hot == "ring") is { } second
                )
                    yield return second.Flow == Flow.Out
                        ? new Hazard(
                            HazardCode.MonoPlugInStereoSocket,
                            Severity.Refuse,
                            $"{found.Device.Name} {found.Socket.Name}",
                            "A mono plug in a stereo output: its sleeve shorts the right channel to ground.",
                            "Use a three-pole plug, with a lead to two mono plugs."
                        )
                        : new Hazard(
                            HazardCode.MonoPlugInStereoSocket,
                            Severity.Warn,
                            $"{found.Device.Name} {found.Socket.Name}",
                            "A mono plug in a stereo input: only the left channel gets sound.",
                            "Use a three-pole plug, with a lead from two mono plugs."
                        );
            }
        }
    }

    private static string Words((PlugShape Shape, PlugGender Gender) end) =>
        $"a {(end.Gender == PlugGender.Plug ? "plug" : "socket")} ({end.Shape.Words})";

    private static string Name(Wiring wiring, PatchPoint point) =>
        point.IsOnDevice ? $"{point.Device} {point.Socket}" : $"{wiring.Piece(point.Piece).Type.Words}, {point.Socket}";
}
