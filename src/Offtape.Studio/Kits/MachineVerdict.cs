namespace Offtape.Studio;

/// <summary>What a machine is worth to somebody, before anything is joined: whether it is thinkable at all, and what it scores.</summary>
internal sealed record MachineVerdict(
    Offer Machine,
    string? Refusal,
    int Score,
    int DoubtCount,
    decimal Repairs,
    MainsVerdict Mains,
    IReadOnlyList<Want> Met,
    IReadOnlyList<Want> Unmet
)
{
    /// <summary>What it costs by itself.</summary>
    public decimal BaseCost => Machine.Cost(1) + Repairs;

    public static MachineVerdict Of(Offer machine, KitRequest request)
    {
        var mains = MainsVerdict.Of(machine, request.MainsVolts, request.MainsHertz);
        var condition = machine.Condition.ToString().ToLowerInvariant();
        var hasRepairs = request.Repairs.TryGetValue(condition, out var byCondition);
        var repairs = byCondition + request.Repairs.GetValueOrDefault(KindName(machine.Kind));
        var doubts = mains.DoubtCount + (machine.Condition == OfferCondition.Untested && !hasRepairs ? 1 : 0);
        var met = request.Wishes.Where(w => w.Want.IsMetBy(machine)).ToArray();
        var missing = request.Musts.Where(m => !m.IsMetBy(machine)).Select(m => m.Words).ToArray();
        var refusal =
            machine.Features.HasLiveChassis ? "its chassis can stand on the mains: it must not be joined to anything"
            : machine.Condition == OfferCondition.Faulty && !hasRepairs ? "it is faulty, and there is no figure for such repairs"
            : missing.Length > 0 ? $"it lacks {string.Join(" and ", missing)}"
            : mains.Refusal;
        return new MachineVerdict(
            machine,
            refusal,
            met.Sum(w => w.Weight) - doubts,
            doubts,
            repairs,
            mains,
            [.. met.Select(w => w.Want)],
            [.. request.Wishes.Select(w => w.Want).Where(w => !w.IsMetBy(machine))]
        );
    }

    public static string KindName(OfferKind kind) =>
        kind switch
        {
            OfferKind.CassetteDeck => "cassette-deck",
            OfferKind.CassetteMultitrack => "cassette-multitrack",
            OfferKind.Reel => "reel",
            OfferKind.Portable => "portable",
            OfferKind.Part => "part",
            OfferKind.Tape => "tape",
            _ => "mains-transformer",
        };
}
