namespace Offtape.Studio;

/// <summary>Parts that have to be bought.</summary>
/// <param name="Type">What.</param>
/// <param name="Count">How many.</param>
/// <param name="PriceEach">What one costs; null where the rig does not say.</param>
public sealed record ShoppingItem(PartType Type, int Count, decimal? PriceEach);

/// <summary>A patch, joined end to end, with all that is to be known of it.</summary>
public sealed record PatchPlan(
    Rig Rig,
    Wiring Wiring,
    IReadOnlyList<JoinedLane> Lanes,
    IReadOnlyList<ShoppingItem> Shopping,
    IReadOnlyList<Hazard> Hazards,
    IReadOnlyList<string> SwitchingOn
)
{
    /// <summary>Whether every channel there and back is joined, and nothing about it is refused.</summary>
    public bool IsWhole => Hazards.All(h => h.Severity != Severity.Refuse);
}
