namespace Offtape.Studio.Tests;

/// <summary>
/// The slow way to a kit: for each machine every purchase there is (each offer not at all, once, twice ...), looked at whether all of it works,
/// and the cheapest kept. What joins what comes from exhaustive enumeration too.
/// </summary>
internal sealed class SlowKit(IReadOnlyList<PartType> universe)
{
    private readonly Dictionary<string, IReadOnlyList<int[]>> _ways = [];

    /// <summary>The least that a machine and all it needs costs; null where nothing does.</summary>
    public decimal? Cheapest(KitRequest request, Offer machine, IReadOnlyList<Offer> offers)
    {
        var needs = Needs(request, machine);
        var parts = offers.Where(o => o.Part is not null).ToArray();
        var tapes = offers.Where(o => o.Kind == OfferKind.Tape && Suits(o, machine)).ToArray();
        decimal? best = null;
        var have = universe.Select(p => request.Drawer.GetValueOrDefault(p.Id)).ToArray();
        BuyParts(0, 0);
        return best;

        void BuyParts(int at, decimal spent)
        {
            if (best is { } least && spent >= least)
                return;
            if (at == parts.Length)
            {
                if (needs.Any(n => n.Zip(have).All(x => x.First <= x.Second)))
                    BuyTapes(0, spent, 0);
                return;
            }
            var p = Place(parts[at].Part!);
            for (var count = 0; count <= parts[at].Count; count++)
            {
                have[p] += count;
                BuyParts(at + 1, spent + (count == 0 ? 0 : count * parts[at].Price + parts[at].Shipping));
                have[p] -= count;
            }
        }

        void BuyTapes(int at, decimal spent, double minutes)
        {
            if (best is { } least && spent >= least)
                return;
            if (at == tapes.Length)
            {
                if (minutes >= request.TapeMinutes)
                    best = spent;
                return;
            }
            // A cassette of so many minutes plays them on both its sides together.
            var each = tapes[at].Features.LengthMetres!.Value * 2 / 0.047625 / 60;
            for (var count = 0; count <= tapes[at].Count; count++)
                BuyTapes(at + 1, spent + (count == 0 ? 0 : count * tapes[at].Price + tapes[at].Shipping), minutes + count * each);
        }
    }

    private static bool Suits(Offer tape, Offer machine) => tape.Features.TapeTypes[0] == machine.Features.TapeTypes[0];

    /// <summary>Each multiset of parts with which both directions can be joined.</summary>
    private IReadOnlyList<int[]> Needs(KitRequest request, Offer machine)
    {
        var there = Direction(request, machine, Flow.Out);
        var back = Direction(request, machine, Flow.In);
        var needs = new List<int[]>();
        foreach (var t in there)
        foreach (var b in back)
            needs.Add([.. t.Zip(b).Select(x => x.First + x.Second)]);
        return needs;
    }

    private IReadOnlyList<int[]> Direction(KitRequest request, Offer machine, Flow fromDesk)
    {
        var desk = request.Interface.Ports.SelectMany(p => p.Sockets).Where(s => s.Lanes[0].Flow == fromDesk).ToArray();
        var theirs = machine.Ports.SelectMany(p => p.Sockets).Where(s => s.Lanes[0].Flow != fromDesk).ToArray();
        var channels = Math.Min(Math.Min(desk.Length, theirs.Length), request.Channels);
        var first = Ways([desk[0]], [theirs[0]]);
        if (channels == 1)
            return first;
        var ways = new List<int[]>(Ways(desk[..2], theirs[..2]));
        foreach (var a in first)
        foreach (var b in Ways([desk[1]], [theirs[1]]))
            ways.Add([.. a.Zip(b).Select(x => x.First + x.Second)]);
        return ways;
    }

    // Three pieces at most, the limit that the program states for one channel and for two that share pieces.
    private IReadOnlyList<int[]> Ways(IReadOnlyList<Socket> a, IReadOnlyList<Socket> b)
    {
        var key = string.Join(
            '|',
            a.Concat(b).Select(s => $"{s.Shape.Id} {s.Lanes[0].Flow} {s.Lanes[0].Balance} {s.Lanes[0].NominalDbu:0.0}")
        );
        if (_ways.TryGetValue(key, out var known))
            return known;
        var ways = new List<int[]>();
        for (var count = 1; count <= 3; count++)
            foreach (var way in SlowPatch.Ways(a, b, universe, count))
            {
                var counts = new int[universe.Count];
                foreach (var id in way.Split('+'))
                    counts[Place(PartTypes.Find(id)!)]++;
                if (!ways.Any(w => w.Zip(counts).All(x => x.First <= x.Second)))
                    ways.Add(counts);
            }
        return _ways[key] = ways;
    }

    private int Place(PartType part)
    {
        for (var i = 0; i < universe.Count; i++)
            if (universe[i] == part)
                return i;
        throw new ArgumentException(part.Id);
    }
}
