namespace Offtape.Studio.Tests;

/// <summary>The baskets found are the best there are: exhaustive search over every purchase says so.</summary>
public sealed class BasketOptimalityTests
{
    private static readonly string[] PartIds =
    [
        "ts-rca",
        "rca-rca",
        "2ts-2rca",
        "2rca-2rca",
        "rcaf-ts",
        "tsf-rca",
        "rca-trs",
        "trs-rca-open",
    ];

    private static readonly string[] Desks = ["line-out:ts:2;line-in:ts:2", "line-out:trs:2;line-in:trs:2", "line-out:rca:2;line-in:rca:2"];

    private static readonly string[] Machines =
    [
        "line-in:rca:2;line-out:rca:2",
        "line-in:ts:2:-10;line-out:ts:2:-10",
        "line-in:rca:1;line-out:rca:1",
        "line-in:rca:2;line-out:rca:1",
    ];

    /// <summary>Five hundred cases of 4 to 12 offers; all machines in their order, with their totals, and those beyond the money.</summary>
    [Fact]
    public void Baskets_are_those_of_exhaustive_search_in_500_random_cases()
    {
        var universe = PartIds.Select(id => PartTypes.Find(id)!).ToArray();
        var slow = new SlowKit(universe);
        var random = new Random(20_260_107);
        var (baskets, empty) = (0, 0);
        for (var round = 0; round < 500; round++)
        {
            var (request, offers) = Case(random);
            var expected = offers
                .Where(o => o.IsMachine)
                .Where(m => request.Musts.All(w => w.IsMetBy(m)))
                .Select(m => (Machine: m, Around: slow.Cheapest(request, m, offers)))
                .Where(m => m.Around is not null && m.Machine.Price + m.Machine.Shipping + m.Around <= request.Money)
                .Select(m =>
                    (
                        m.Machine.Row,
                        Score: request.Wishes.Where(w => w.Want.IsMetBy(m.Machine)).Sum(w => w.Weight),
                        Total: m.Machine.Price + m.Machine.Shipping + m.Around!.Value
                    )
                )
                .OrderByDescending(m => m.Score)
                .ThenBy(m => m.Total)
                .Select(m => $"{m.Score} {m.Total:0.00}")
                .ToArray();
            var found = Kits.Find(request, offers, 12).Baskets;
            Assert.True(
                expected.SequenceEqual(found.Select(b => $"{b.Score} {b.Total:0.00}")),
                $"round {round}: exhaustive search finds [{string.Join("; ", expected)}], the program [{string.Join("; ", found.Select(b => $"{b.Score} {b.Total:0.00}"))}]"
            );
            baskets += expected.Length;
            empty += expected.Length == 0 ? 1 : 0;
        }
        // Neither all empty nor all easy.
        Assert.True(baskets > 300 && empty is > 50 and < 350, $"{baskets} baskets, {empty} cases without one");
    }

    /// <summary>Asking for fewer baskets gives the first of the same list: what is left out early could not have come among them.</summary>
    [Fact]
    public void The_first_of_few_is_the_first_of_many()
    {
        var random = new Random(7);
        for (var round = 0; round < 100; round++)
        {
            var (request, offers) = Case(random);
            var all = Kits.Find(request, offers, 12).Baskets.Select(b => (b.Machine.Row, b.Total)).ToArray();
            for (var most = 1; most <= 2; most++)
                Assert.Equal(all.Take(most), Kits.Find(request, offers, most).Baskets.Select(b => (b.Machine.Row, b.Total)));
        }
    }

    /// <summary>What a basket holds is enough: its pieces are those of the drawer and those bought, and its patch is refused nowhere.</summary>
    [Fact]
    public void A_basket_holds_what_its_patch_needs()
    {
        var random = new Random(11);
        for (var round = 0; round < 100; round++)
        {
            var (request, offers) = Case(random);
            foreach (var basket in Kits.Find(request, offers, 12).Baskets)
            {
                foreach (var type in basket.Wiring.Pieces.GroupBy(p => p.Type))
                    Assert.True(
                        type.Count()
                            <= request.Drawer.GetValueOrDefault(type.Key.Id)
                                + basket.Lines.Where(l => l.Offer.Part == type.Key).Sum(l => l.Count),
                        $"round {round}: {type.Count()} of {type.Key.Id}"
                    );
                Assert.DoesNotContain(basket.Hazards, h => h.Severity == Severity.Refuse);
                Assert.Equal(basket.Machine.Cost(1) + basket.Repairs + basket.Lines.Sum(l => l.Offer.Cost(l.Count)), basket.Total);
            }
        }
    }

    // Cables more often than adapters, else most cases could not be joined at all.
    private static string SomePart(Random random) => PartIds[random.Next(random.Next(4) == 0 ? PartIds.Length : 4)];

    private static (KitRequest Request, IReadOnlyList<Offer> Offers) Case(Random random)
    {
        var offers = new List<Offer>();
        var machines = random.Next(1, 5);
        for (var i = 0; i < machines; i++)
            offers.Add(
                Kits.Machine(
                    offers.Count + 1,
                    Machines[random.Next(Machines.Length)],
                    random.Next(20, 200),
                    $"bias={(random.Next(3) == 0 ? "II" : "I")}{(random.Next(2) == 0 ? " off-tape" : "")}{(random.Next(2) == 0 ? " pitch" : "")}",
                    random.Next(2) * random.Next(1, 15)
                )
            );
        var parts = random.Next(3, 7);
        for (var i = 0; i < parts; i++)
            offers.Add(
                Kits.Part(
                    offers.Count + 1,
                    SomePart(random),
                    random.Next(100, 1200) / 100m,
                    random.Next(2) * random.Next(50, 600) / 100m,
                    random.Next(1, 3)
                )
            );
        for (var i = random.Next(1, 3); i > 0 && offers.Count < 12; i--)
            offers.Add(
                Kits.Tape(
                    offers.Count + 1,
                    random.Next(100, 700) / 100m,
                    $"format=cassette minutes={(random.Next(2) == 0 ? 60 : 90)} type={(random.Next(3) == 0 ? "II" : "I")}",
                    random.Next(1, 3),
                    random.Next(2) * random.Next(50, 400) / 100m
                )
            );
        var request = Kits.Request(Desks[random.Next(Desks.Length)], random.Next(100, 320), random.Next(0, 3) * 45) with
        {
            Drawer = Enumerable
                .Range(0, random.Next(0, 7))
                .Select(_ => SomePart(random))
                .GroupBy(p => p)
                .ToDictionary(g => g.Key, g => g.Count()),
            Musts = random.Next(4) == 0 ? [Want.Parse("off-tape")] : [],
            Wishes = [(Want.Parse("pitch"), random.Next(1, 4)), (Want.Parse("stereo"), random.Next(1, 4))],
        };
        return (request, offers);
    }
}
