using Offtape.Base;

namespace Offtape.Studio;

/// <summary>
/// In what order things are plugged and switched on, so that no thump of one reaches another with its level up. Common practice, no source.
/// </summary>
internal static class SwitchingSteps
{
    public static IReadOnlyList<string> Of(Rig rig, Wiring wiring)
    {
        if (wiring.Joins.Count == 0)
            return [];
        var machines = rig.Machines.Where(m => wiring.Joins.Any(j => j.A.Device == m.Name || j.B.Device == m.Name)).ToArray();
        var phantom = rig.Interface.Sockets.Any(s =>
            s.Lanes.Any(l => l.Phantom != PhantomPower.None) && wiring.Joins.Any(j => j.A.Socket == s.Name || j.B.Socket == s.Name)
        );
        List<string> steps =
        [
            "Everything off; interface outputs, machine inputs and monitors turned down. Headphones lie on the table.",
            .. phantom ? ["Phantom power off on every input that a machine is plugged into; wait a minute."] : Array.Empty<string>(),
            "Plug the leads as drawn, the sockets of the machine last.",
            $"On, in this order: computer and interface, then {Words.List([.. machines.Select(m => m.Name)])} with recording off, monitors last.",
            "Send a steady tone, quietly first, and set levels with offtape bench line-up.",
            "Off again the other way round: monitors, machines, interface.",
        ];
        return steps;
    }
}
