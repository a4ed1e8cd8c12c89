namespace Offtape.Studio;

/// <summary>
/// Joins an interface with its machines, channel for channel, there and back. Sockets are chosen line before instrument, DIN, microphone,
/// headphones and loudspeaker; among ways through the same kinds of socket the one with the fewest pieces, then the fewest to buy, then the
/// least money, then the fewest warnings, then the nearest levels.
/// </summary>
public static class PatchPlanner
{
    /// <param name="rig">What there is.</param>
    /// <param name="onlyDrawer">Only what lies in the drawer may be used; else what is missing goes on the shopping list.</param>
    public static PatchPlan Plan(Rig rig, bool onlyDrawer = false)
    {
        var parts = onlyDrawer ? [.. rig.Parts.Where(p => rig.Drawer.GetValueOrDefault(p.Id) > 0)] : rig.Parts;
        var knots = new JoinKnots(parts, areAllWays: onlyDrawer);
        var builder = new WiringBuilder(rig.Drawer);
        var used = new HashSet<Socket>(ReferenceEqualityComparer.Instance);
        var hazards = new List<Hazard>();
        foreach (var machine in rig.Machines)
        {
            var earthed = rig.Interface.HasSafetyEarth && machine.HasSafetyEarth;
            var best = PortChoice
                .All(rig.Interface, machine, used)
                .Select(choice => (Choice: choice, Joined: Join(choice, earthed)))
                .Where(c => c.Joined is not null)
                .Select(c => (c.Choice, Joined: c.Joined!, Cost: Cost(c.Joined!)))
                .OrderByDescending(c => c.Choice.LaneCount)
                .ThenBy(c => c.Choice.KindRank)
                .ThenBy(c => c.Cost)
                .FirstOrDefault();
            hazards.AddRange(PlanHazards.Missing(rig, machine, used, best.Choice, onlyDrawer));
            if (best.Choice is null)
                continue;
            foreach (var (search, option) in best.Joined)
            {
                var isFromInterface = rig.Interface.Sockets.Any(s => ReferenceEquals(s, search.Task.SideA[0]));
                builder.Add(
                    search.Task,
                    isFromInterface ? rig.Interface.Name : machine.Name,
                    isFromInterface ? machine.Name : rig.Interface.Name,
                    option.Moves,
                    parts
                );
            }
            used.UnionWith(best.Choice.Lanes.Select(l => l.A));
        }
        var wiring = builder.Wiring;
        var findings = PatchCheck.Examine(rig, wiring);
        return new PatchPlan(
            rig,
            wiring,
            findings.Lanes,
            Shopping(rig, wiring),
            [.. hazards.Concat(findings.Hazards).OrderByDescending(h => h.Severity)],
            SwitchingSteps.Of(rig, wiring)
        );

        IReadOnlyList<(JoinSearch Search, JoinOption Option)>? Join(PortChoice choice, bool earthed) =>
            new JoinAllocation(parts, builder.Left, rig.Prices, !onlyDrawer).Choose(knots.Of(choice.Lanes, earthed));

        JoinCost Cost(IReadOnlyList<(JoinSearch Search, JoinOption Option)> joined)
        {
            var left = new Dictionary<string, int>(builder.Left);
            var cost = default(JoinCost);
            foreach (var (_, option) in joined)
            {
                cost += new JoinCost(option.Parts.Length, 0, 0, option.WarningCount, option.MismatchDb);
                foreach (var p in option.Parts)
                {
                    var id = parts[p].Id;
                    if (left.GetValueOrDefault(id) > 0)
                        left[id]--;
                    else
                        cost += new JoinCost(0, 1, rig.Prices.GetValueOrDefault(id), 0, 0);
                }
            }
            return cost;
        }
    }

    private static IReadOnlyList<ShoppingItem> Shopping(Rig rig, Wiring wiring) =>
        [
            .. wiring
                .Pieces.Where(p => !p.IsInDrawer)
                .GroupBy(p => p.Type)
                .Select(g => new ShoppingItem(g.Key, g.Count(), rig.Prices.TryGetValue(g.Key.Id, out var price) ? price : null)),
        ];
}
