using Offtape.Base;

namespace Offtape.Studio;

/// <summary>Says of a basket what it cannot do, why it stands where it does, and what would lift it.</summary>
internal sealed class BasketExplanation(KitRequest request, IReadOnlyList<PartType> parts)
{
    /// <param name="draft">The basket.</param>
    /// <param name="above">The one that stands before it; null for the first.</param>
    /// <param name="outOfReach">The best that costs too much; null for none.</param>
    public Basket Of(BasketDraft draft, BasketDraft? above, BasketDraft? outOfReach)
    {
        var machine = draft.Verdict.Machine;
        var device = Surroundings.Device(machine) with { Name = machine.Title == request.Interface.Name ? "machine" : machine.Title };
        var builder = new WiringBuilder(request.Drawer);
        foreach (var (search, option) in draft.Bought.Ways)
        {
            var isFromInterface = request.Interface.Sockets.Any(s => ReferenceEquals(s, search.Task.SideA[0]));
            builder.Add(
                search.Task,
                isFromInterface ? request.Interface.Name : device.Name,
                isFromInterface ? device.Name : request.Interface.Name,
                option.Moves,
                parts
            );
        }
        var rig = new Rig
        {
            Interface = request.Interface,
            Machines = [device],
            Parts = request.Parts,
            Drawer = request.Drawer,
        };
        return new Basket
        {
            Machine = machine,
            Lines = draft.Bought.Lines,
            Wiring = builder.Wiring,
            Repairs = draft.Verdict.Repairs,
            Total = draft.Total,
            Score = draft.Verdict.Score,
            DoubtCount = draft.Verdict.DoubtCount,
            Channels = draft.Channels,
            SpeedCmPerSecond = TapeFit.SpeedCmPerSecond(machine, request),
            Met = draft.Verdict.Met,
            Unmet = draft.Verdict.Unmet,
            CannotDo = [.. CannotDo(draft)],
            Cautions = [.. draft.Verdict.Mains.Cautions, .. MachineCautions.Of(machine)],
            Hazards = PatchCheck.Examine(rig, builder.Wiring).Hazards,
            TapePerMinute = TapePerMinute(draft),
            Why = Why(draft, above),
            Lift = Lift(draft, above, outOfReach),
        };
    }

    private IEnumerable<string> CannotDo(BasketDraft draft)
    {
        foreach (var wish in draft.Verdict.Unmet)
            yield return $"It lacks {wish.Words}.";
        if (draft.Channels < request.Channels)
            yield return $"It joins {Words.Count(draft.Channels, "channel")} of the {request.Channels} wanted.";
        if (!draft.Verdict.Machine.Features.HasOffTape)
            yield return "It is heard back only after rewinding: each return is a second run.";
        if (draft.Choice.Lanes.Any(l => l.LaneB.HasAutomaticLevel))
            yield return "It cannot keep the record level: it sets that itself.";
    }

    private string Why(BasketDraft draft, BasketDraft? above)
    {
        var most = request.Wishes.Sum(w => w.Weight);
        var doubts = draft.Verdict.DoubtCount == 0 ? "" : $", {Words.Count(draft.Verdict.DoubtCount, "point")} off for what is not told";
        var score = most == 0 ? "No wishes were weighed" : $"It scores {draft.Verdict.Score} of {most}{doubts}";
        if (above is null)
            return $"{score}; nothing within the money scores more{(most == 0 ? ", and nothing costs less" : ", and nothing that scores as much costs less")}.";
        return draft.Verdict.Score < above.Verdict.Score ? $"{score}; the one above scores {above.Verdict.Score}."
            : draft.Total > above.Total ? $"{score}, as the one above, and costs {Money(draft.Total - above.Total)} more."
            : $"{score} and costs as much as the one above, with {(draft.Bought.Pieces > above.Bought.Pieces ? "more pieces" : "a later row in the list")}.";
    }

    private string Lift(BasketDraft draft, BasketDraft? above, BasketDraft? outOfReach)
    {
        if (above is null)
            return outOfReach is not null && BasketDraft.Order(outOfReach, draft) < 0
                ? $"With {Money(outOfReach.Total - request.Money)} more money \"{outOfReach.Verdict.Machine.Title}\" ({Where(outOfReach)}) would stand first."
                : "It stands first.";
        if (draft.Verdict.Score < above.Verdict.Score)
            return $"No saving lifts it: it would need {Lacking(draft, above)}.";
        // A cent less than the one above.
        var gap = draft.Total - above.Total + 0.01m;
        var savings = new List<(decimal Saved, string Words)>();
        if (draft.Verdict.Machine.Shipping >= gap)
            savings.Add(
                (draft.Verdict.Machine.Shipping, $"fetch the machine, which saves {Money(draft.Verdict.Machine.Shipping)} of shipping")
            );
        foreach (var (offer, count) in draft.Bought.Lines)
            if (offer.Cost(count) >= gap)
                savings.Add((offer.Cost(count), $"borrow or find \"{offer.Title}\", which saves {Money(offer.Cost(count))}"));
        var cheapest = savings.OrderBy(s => s.Saved).Select(s => s.Words).FirstOrDefault();
        var haggle = draft.Verdict.Machine.Price > gap ? $"Take {Money(gap)} off the machine's price" : null;
        return (haggle, cheapest) switch
        {
            (null, null) => $"It would have to cost {Money(gap)} less.",
            (null, { } saving) => $"{char.ToUpperInvariant(saving[0])}{saving[1..]}.",
            ({ } less, null) => $"{less}.",
            ({ } less, { } saving) => $"{less}, or {saving}.",
        };
    }

    private string Lacking(BasketDraft draft, BasketDraft above)
    {
        var more = draft.Verdict.Unmet.Where(above.Verdict.Met.Contains).Select(w => w.Words).ToArray();
        return more.Length > 0 ? Words.List(more) : "what is not told of it to be told";
    }

    private IReadOnlyList<(double SpeedCmPerSecond, decimal PerMinute)> TapePerMinute(BasketDraft draft)
    {
        var machine = draft.Verdict.Machine;
        var tapes = draft.Bought.Lines.Where(l => l.Offer.Kind == OfferKind.Tape).ToArray();
        if (tapes.Length == 0)
            return [];
        double[] speeds =
            machine.Features.SpeedsCmPerSecond.Count > 0
                ? [.. machine.Features.SpeedsCmPerSecond.Order()]
                : [TapeFit.SpeedCmPerSecond(machine, request)];
        return
        [
            .. speeds.Select(s =>
                (
                    s,
                    tapes.Sum(t => t.Offer.Cost(t.Count)) / (decimal)tapes.Sum(t => t.Count * TapeFit.Minutes(t.Offer.Features, machine, s))
                )
            ),
        ];
    }

    private string Money(decimal sum) => request.Currency.Length == 0 ? $"{sum:0.00}" : $"{sum:0.00} {request.Currency}";

    private static string Where(BasketDraft draft) => draft.Verdict.Machine.Row == 0 ? "typed in" : $"row {draft.Verdict.Machine.Row}";
}
