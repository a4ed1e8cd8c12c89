using System.Diagnostics;
using Offtape.Studio;

namespace Offtape.Perf.Kits;

/// <summary>
/// How long a kit takes to be found: 2,000 offers of machines and tapes and 200 of parts, invented with a fixed seed, many kinds of sockets among
/// them, and an interface with balanced jacks. The first round is that of a fresh process: it loads the solver and compiles everything.
/// </summary>
internal static class KitMeasurement
{
    private static readonly string[] Sockets =
    [
        "line-in:rca:2; line-out:rca:2",
        "line-in:rca:2; line-out:rca:2; mic-in:ts:2; headphone-out:trs:2",
        "line-in:ts:4:-10; line-out:ts:4:-10",
        "line-in:rca:4; line-out:rca:4",
        "tape-din:din5:2",
        "tape-din:din5:2; line-out:rca:2; line-in:rca:2",
        "tape-din:din3:1",
        "mic-in:mini:1:alc:plug-in-power; headphone-out:mini-trs:2",
        "line-in:mini-trs:2; headphone-out:mini-trs:2",
        "line-in:xlr:2:+4; line-out:xlr:2:+4",
        "line-in:trs:2:+4; line-out:trs:2:+4",
        "line-in:rca:1; line-out:rca:1",
        "tape-din:din5:2:ohms=47k",
        "line-in:rca:2:hifi; line-out:rca:2:hifi",
    ];

    private static readonly OfferKind[] Kinds = [OfferKind.CassetteDeck, OfferKind.Reel, OfferKind.CassetteMultitrack, OfferKind.Portable];

    /// <param name="arguments">[rounds].</param>
    public static int Run(string[] arguments)
    {
        var rounds = arguments.Length > 0 ? int.Parse(arguments[0]) : 5;
        Machine.Print();
        Console.WriteLine();
        var offers = Offers(new Random(1));
        var request = Request();
        Console.WriteLine(
            $"{offers.Count(o => o.IsMachine)} machines, {offers.Count(o => o.Kind == OfferKind.Tape)} tapes, {offers.Count(o => o.Part is not null)} parts of {offers.Select(o => o.Part?.Id).Distinct().Count() - 1} kinds."
        );
        Console.WriteLine();
        Console.WriteLine("| round | wall clock, s | processor, s | baskets | best | score |");
        Console.WriteLine("| --- | --- | --- | --- | --- | --- |");
        for (var round = 1; round <= rounds; round++)
        {
            var processor = Process.GetCurrentProcess().TotalProcessorTime;
            var watch = Stopwatch.StartNew();
            var found = KitSearch.Find(request, offers, 5);
            var seconds = watch.Elapsed.TotalSeconds;
            var used = (Process.GetCurrentProcess().TotalProcessorTime - processor).TotalSeconds;
            Console.WriteLine(
                $"| {round} | {seconds:F2} | {used:F2} | {found.Baskets.Count} | {found.Baskets[0].Total:0.00} | {found.Baskets[0].Score} |"
            );
        }
        return 0;
    }

    private static KitRequest Request() =>
        new()
        {
            Interface = new StudioDevice("interface", SocketWords.ParseAll("line-out:trs:4; line-in:trs:4; headphone-out:trs:2")),
            Drawer = new Dictionary<string, int> { ["ts-ts"] = 2, ["rcaf-ts"] = 3 },
            Money = 260,
            MainsVolts = 230,
            MainsHertz = 50,
            Channels = 4,
            TapeMinutes = 90,
            Musts = [],
            Wishes = [(Want.Parse("off-tape"), 3), (Want.Parse("pitch"), 2), (Want.Parse("line-in"), 2), (Want.Parse("speed:9.5"), 1)],
        };

    private static List<Offer> Offers(Random random)
    {
        var offers = new List<Offer>();
        for (var i = 0; i < 1900; i++)
        {
            var kind = Kinds[random.Next(Kinds.Length)];
            var features =
                $"bias={(kind == OfferKind.Reel ? "A" : random.Next(2) == 0 ? "I/II" : "I")} motor={(random.Next(3) == 0 ? "synchronous" : "dc")}"
                + (random.Next(5) == 0 ? " off-tape" : "")
                + (random.Next(4) == 0 ? " pitch" : "")
                + (random.Next(4) == 0 ? " speeds=4.76/9.5" : "");
            offers.Add(
                new Offer
                {
                    Row = offers.Count + 2,
                    Title = $"machine {i}",
                    Kind = kind,
                    Price = random.Next(15, 600),
                    Shipping = random.Next(0, 25),
                    Features = FeatureWords.Parse(features) with { Format = kind == OfferKind.Reel ? "reel" : "cassette" },
                    Ports = SocketWords.ParseAll(Sockets[random.Next(Sockets.Length)]),
                    MainsVolts = [random.Next(4) == 0 ? (110, 120) : (220, 240)],
                    MainsHertz = [random.Next(4) == 0 ? 60 : 50],
                }
            );
        }
        for (var i = 0; i < 100; i++)
            offers.Add(
                new Offer
                {
                    Row = offers.Count + 2,
                    Title = $"tape {i}",
                    Kind = OfferKind.Tape,
                    Price = random.Next(100, 2500) / 100m,
                    Shipping = random.Next(0, 600) / 100m,
                    Count = random.Next(1, 10),
                    Features = FeatureWords.Parse(
                        random.Next(2) == 0 ? "format=cassette minutes=90 type=I"
                        : random.Next(2) == 0 ? "format=cassette minutes=60 type=II"
                        : "format=reel metres=549 type=A"
                    ),
                }
            );
        for (var i = 0; i < 200; i++)
            offers.Add(
                new Offer
                {
                    Row = offers.Count + 2,
                    Title = $"part {i}",
                    Kind = OfferKind.Part,
                    Part = PartTypes.All[random.Next(PartTypes.All.Count)],
                    Price = random.Next(150, 2500) / 100m,
                    Shipping = random.Next(0, 500) / 100m,
                    Count = random.Next(1, 5),
                }
            );
        return offers;
    }
}
