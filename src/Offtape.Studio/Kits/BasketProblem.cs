namespace Offtape.Studio;

/// <summary>What has to be bought beside a machine so that all of it works: which parts, tapes and transformer, for the least money.</summary>
/// <param name="Knots">What has to be joined, and the ways to do it.</param>
/// <param name="Parts">The parts that the ways speak of, by their places.</param>
/// <param name="Stock">How many of each part are in the drawer.</param>
/// <param name="PartOffers">For each part the offers of it.</param>
/// <param name="TapeTenths">Tenths of minutes that have to be bought.</param>
/// <param name="TapeOffers">Tapes that fit, with the tenths of minutes that one holds.</param>
/// <param name="Transformers">Mains transformers that do; null where none is needed.</param>
internal sealed record BasketProblem(
    IReadOnlyList<JoinKnot> Knots,
    IReadOnlyList<PartType> Parts,
    IReadOnlyList<int> Stock,
    IReadOnlyList<IReadOnlyList<Offer>> PartOffers,
    long TapeTenths,
    IReadOnlyList<(Offer Offer, long Tenths)> TapeOffers,
    IReadOnlyList<Offer>? Transformers
);

/// <summary>What is bought beside a machine.</summary>
/// <param name="Lines">Offers, and how many of each.</param>
/// <param name="Ways">The ways chosen, in the order of the knots.</param>
internal sealed record BasketChoice(
    IReadOnlyList<(Offer Offer, int Count)> Lines,
    IReadOnlyList<(JoinSearch Search, JoinOption Option)> Ways
)
{
    public decimal Cost => Lines.Sum(l => l.Offer.Cost(l.Count));

    public int Pieces => Ways.Sum(w => w.Option.Parts.Length);
}
