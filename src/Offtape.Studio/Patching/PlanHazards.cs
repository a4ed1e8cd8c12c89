using Offtape.Base;

namespace Offtape.Studio;

/// <summary>What a plan could not do, and why.</summary>
internal static class PlanHazards
{
    /// <param name="rig">What there is.</param>
    /// <param name="machine">The machine that was to be joined.</param>
    /// <param name="taken">Sockets of the interface that other machines have.</param>
    /// <param name="chosen">What was joined; null for nothing.</param>
    /// <param name="onlyDrawer">Nothing might be bought.</param>
    public static IEnumerable<Hazard> Missing(
        Rig rig,
        StudioDevice machine,
        IReadOnlySet<Socket> taken,
        PortChoice? chosen,
        bool onlyDrawer
    )
    {
        foreach (var (fromDesk, way) in new[] { (Flow.Out, "to the machine"), (Flow.In, "back from the machine") })
        {
            var atMachine = fromDesk == Flow.Out ? Flow.In : Flow.Out;
            var has = machine.PortsWith(atMachine).Select(p => p.Lanes(atMachine).Count()).DefaultIfEmpty(0).Max();
            var free = rig.Interface.PortsWith(fromDesk).Sum(p => p.Lanes(fromDesk).Count(l => !taken.Contains(l.Socket)));
            var joined = chosen?.Lanes.Count(l => l.LaneA.Flow == fromDesk) ?? 0;
            if (has == 0)
                yield return new Hazard(
                    HazardCode.NoWay,
                    Severity.Warn,
                    machine.Name,
                    $"It has no socket for the way {way}.",
                    "Look at its handbook for another socket."
                );
            else if (joined == 0 && free > 0)
                yield return NoWay(rig, machine, fromDesk, way, onlyDrawer);
            else if (joined < has)
                yield return new Hazard(
                    HazardCode.TooFewSockets,
                    Severity.Warn,
                    machine.Name,
                    $"{Words.Count(joined, "channel")} of {has} can be joined {way}: the interface has no more free.",
                    "Do the rest in a second run, or plug over between the runs."
                );
        }
    }

    private static Hazard NoWay(Rig rig, StudioDevice machine, Flow fromDesk, string way, bool onlyDrawer)
    {
        var reasons = new List<string>();
        foreach (var ours in rig.Interface.PortsWith(fromDesk).SelectMany(p => p.Lanes(fromDesk).Take(1)))
        foreach (var theirs in machine.Ports.SelectMany(p => p.Lanes(fromDesk == Flow.Out ? Flow.In : Flow.Out).Take(1)))
        {
            var (source, sink) = fromDesk == Flow.Out ? (ours.Lane, theirs.Lane) : (theirs.Lane, ours.Lane);
            var refused = LaneRules.Judge(source, sink, new LaneFacts(), false).Where(h => h.Severity == Severity.Refuse);
            reasons.AddRange(refused.Select(h => $"{h.Reason} {h.Advice}"));
        }
        return new Hazard(
            HazardCode.NoWay,
            Severity.Refuse,
            machine.Name,
            $"There is no way {way} that does no harm{(onlyDrawer ? " with what lies in the drawer" : "")}.",
            reasons.Count > 0 ? string.Join(" ", reasons.Distinct())
                : onlyDrawer ? "Leave out --only-drawer to see what would have to be bought."
                : "No part in the list joins these sockets; describe one of your own under parts."
        );
    }
}
