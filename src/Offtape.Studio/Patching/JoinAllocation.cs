namespace Offtape.Studio;

/// <summary>What a choice costs: first the fewest pieces, then the fewest to buy, then the least money, then the fewest warnings, then the nearest levels.</summary>
internal readonly record struct JoinCost(int Pieces, int ToBuy, decimal Money, int Warnings, double MismatchDb) : IComparable<JoinCost>
{
    public static JoinCost operator +(JoinCost a, JoinCost b) => Add(a, b);

    public static JoinCost Add(JoinCost a, JoinCost b) =>
        new(a.Pieces + b.Pieces, a.ToBuy + b.ToBuy, a.Money + b.Money, a.Warnings + b.Warnings, Math.Round(a.MismatchDb + b.MismatchDb, 3));

    public int CompareTo(JoinCost other) =>
        (Pieces, ToBuy, Money, Warnings, MismatchDb).CompareTo((other.Pieces, other.ToBuy, other.Money, other.Warnings, other.MismatchDb));

    public static bool operator <(JoinCost a, JoinCost b) => a.CompareTo(b) < 0;

    public static bool operator >(JoinCost a, JoinCost b) => a.CompareTo(b) > 0;

    public static bool operator <=(JoinCost a, JoinCost b) => a.CompareTo(b) <= 0;

    public static bool operator >=(JoinCost a, JoinCost b) => a.CompareTo(b) >= 0;
}

/// <summary>A knot of sockets that has to be joined, alone or together with its neighbour, and the ways to do it.</summary>
internal sealed record JoinKnot(
    JoinSearch? Alone,
    IReadOnlyList<JoinOption> AloneOptions,
    JoinSearch? WithNext,
    IReadOnlyList<JoinOption> WithNextOptions
);

/// <summary>
/// Chooses a way for each knot so that all together cost least. The drawer is shared: a cable is used once. Knots are dealt with in turn; what
/// matters of the past is only what of the drawer is gone, so of all beginnings that leave the same drawer the cheapest is kept.
/// </summary>
internal sealed class JoinAllocation(
    IReadOnlyList<PartType> parts,
    IReadOnlyDictionary<string, int> drawer,
    IReadOnlyDictionary<string, decimal> prices,
    bool mayBuy
)
{
    /// <returns>For each step the search and the option chosen; null when the knots cannot all be joined.</returns>
    public IReadOnlyList<(JoinSearch Search, JoinOption Option)>? Choose(IReadOnlyList<JoinKnot> knots)
    {
        var stock = parts.Select(p => drawer.GetValueOrDefault(p.Id)).ToArray();
        var tracked = Enumerable.Range(0, parts.Count).Where(p => stock[p] > 0).ToArray();
        var layers = new Dictionary<string, Begun>[knots.Count + 1];
        for (var i = 0; i <= knots.Count; i++)
            layers[i] = [];
        layers[0][""] = new Begun(new int[parts.Count], default, null, null, null);
        for (var i = 0; i < knots.Count; i++)
        {
            foreach (var begun in layers[i].Values)
            {
                Extend(begun, knots[i].Alone, knots[i].AloneOptions, layers[i + 1]);
                if (i + 1 < knots.Count)
                    Extend(begun, knots[i].WithNext, knots[i].WithNextOptions, layers[i + 2]);
            }
        }
        if (layers[^1].Count == 0)
            return null;
        var chosen = new List<(JoinSearch, JoinOption)>();
        for (var at = layers[^1].Values.MinBy(b => b.Cost)!; at.Before is not null; at = at.Before)
            chosen.Add((at.Search!, at.Option!));
        chosen.Reverse();
        return chosen;

        void Extend(Begun begun, JoinSearch? search, IReadOnlyList<JoinOption> options, Dictionary<string, Begun> into)
        {
            foreach (var option in options)
            {
                var used = begun.Used.ToArray();
                var (toBuy, money) = (0, 0m);
                foreach (var p in option.Parts)
                {
                    if (used[p] < stock[p])
                    {
                        used[p]++;
                        continue;
                    }
                    toBuy++;
                    money += prices.GetValueOrDefault(parts[p].Id);
                }
                if (toBuy > 0 && !mayBuy)
                    continue;
                var cost = begun.Cost + new JoinCost(option.Parts.Length, toBuy, money, option.WarningCount, option.MismatchDb);
                var key = string.Join(',', tracked.Select(p => used[p]));
                if (!into.TryGetValue(key, out var there) || cost < there.Cost)
                    into[key] = new Begun(used, cost, begun, search, option);
            }
        }
    }

    private sealed record Begun(int[] Used, JoinCost Cost, Begun? Before, JoinSearch? Search, JoinOption? Option);
}
