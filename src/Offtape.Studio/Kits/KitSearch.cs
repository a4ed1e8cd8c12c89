using Offtape.Base;

namespace Offtape.Studio;

/// <summary>
/// Finds the best baskets: a machine that has every must, with the leads, the tape and the mains transformer that it needs, for no more than the
/// money there is. The higher score stands first, then the lower total, then the fewer pieces, then the earlier row.
/// </summary>
public static class KitSearch
{
    /// <param name="request">What is wanted.</param>
    /// <param name="offers">What is for sale.</param>
    /// <param name="most">How many baskets are wanted, at least 1.</param>
    /// <param name="cancellation">Stops the search.</param>
    public static KitResult Find(KitRequest request, IReadOnlyList<Offer> offers, int most = 5, CancellationToken cancellation = default)
    {
        var surroundings = new Surroundings(request, offers);
        var rejections = new List<Rejection>();
        var thinkable = new List<MachineVerdict>();
        foreach (var machine in offers.Where(o => o.IsMachine))
        {
            var verdict = MachineVerdict.Of(machine, request);
            if (verdict.Refusal is { } refusal)
                rejections.Add(new Rejection(machine, refusal));
            else
                thinkable.Add(verdict);
        }
        var found = new List<BasketDraft>();
        BasketDraft? outOfReach = null;
        var tooDear = 0;
        // From the most promising on; what cannot come among the best any more is not worked out.
        foreach (var verdict in thinkable.OrderByDescending(v => v.Score).ThenBy(v => v.BaseCost).ThenBy(v => v.Machine.Row))
        {
            cancellation.ThrowIfCancellationRequested();
            if (found.Count >= most && !CouldStandBefore(verdict, found[most - 1]))
                continue;
            var (choice, channels, bought, reason) = surroundings.For(verdict);
            if (bought is null)
            {
                rejections.Add(new Rejection(verdict.Machine, reason!));
                continue;
            }
            var draft = new BasketDraft(verdict, choice!, channels, bought);
            if (draft.Total > request.Money)
            {
                tooDear++;
                outOfReach = outOfReach is null || BasketDraft.Order(draft, outOfReach) < 0 ? draft : outOfReach;
                continue;
            }
            found.Add(draft);
            found.Sort(BasketDraft.Order);
        }
        var best = found.Take(most).ToArray();
        var explain = new BasketExplanation(request, surroundings.Parts);
        var baskets = best.Select((draft, i) => explain.Of(draft, i == 0 ? null : best[i - 1], outOfReach)).ToArray();
        return new KitResult(
            baskets,
            outOfReach is null ? null : explain.Of(outOfReach, null, null),
            [.. rejections.OrderBy(r => r.Offer.Row)],
            offers.Count(o => o.IsMachine),
            tooDear
        );
    }

    private static bool CouldStandBefore(MachineVerdict verdict, BasketDraft last) =>
        verdict.Score > last.Verdict.Score || verdict.Score == last.Verdict.Score && verdict.BaseCost <= last.Total;
}

/// <summary>A basket before it is explained.</summary>
internal sealed record BasketDraft(MachineVerdict Verdict, PortChoice Choice, int Channels, BasketChoice Bought)
{
    public decimal Total => Verdict.BaseCost + Bought.Cost;

    /// <summary>Below zero where the first stands before the second.</summary>
    public static int Order(BasketDraft a, BasketDraft b) =>
        (-a.Verdict.Score, a.Total, a.Bought.Pieces, a.Verdict.Machine.Row).CompareTo(
            (-b.Verdict.Score, b.Total, b.Bought.Pieces, b.Verdict.Machine.Row)
        );
}
