namespace Offtape.Studio;

/// <summary>
/// Works out, for a machine, the cheapest surroundings that make it work: leads, tape, mains transformer. Machines with the same sockets and the
/// same needs have the same surroundings, which are worked out once.
/// </summary>
internal sealed class Surroundings
{
    private readonly KitRequest _request;
    private readonly IReadOnlyList<PartType> _parts;
    private readonly IReadOnlyList<IReadOnlyList<Offer>> _partOffers;
    private readonly int[] _stock;
    private readonly IReadOnlyList<Offer> _tapes;
    private readonly IReadOnlyList<Offer> _transformers;
    private readonly JoinKnots _knots;
    private readonly Dictionary<string, BasketChoice?> _known = [];

    public Surroundings(KitRequest request, IReadOnlyList<Offer> offers)
    {
        _request = request;
        var partOffers = offers.Where(o => o.Part is not null).ToLookup(o => o.Part!.Id);
        _parts = [.. request.Parts.Where(p => request.Drawer.GetValueOrDefault(p.Id) > 0 || partOffers.Contains(p.Id))];
        _partOffers = [.. _parts.Select(p => partOffers[p.Id].ToArray())];
        _stock = [.. _parts.Select(p => request.Drawer.GetValueOrDefault(p.Id))];
        _tapes = [.. offers.Where(o => o.Kind == OfferKind.Tape)];
        _transformers = [.. offers.Where(o => o.Kind == OfferKind.MainsTransformer)];
        _knots = new JoinKnots(_parts, areAllWays: true);
    }

    public IReadOnlyList<PartType> Parts => _parts;

    /// <summary>What was joined, for how many channels, and what is bought for it; a reason where nothing does.</summary>
    public (PortChoice? Choice, int Channels, BasketChoice? Bought, string? Reason) For(MachineVerdict verdict)
    {
        var device = Device(verdict.Machine);
        var choices = Choices(device, out var channels);
        if (choices.Count == 0)
            return (null, 0, null, "there is no way there and back between its sockets and yours");
        // The best kind of sockets that can be joined at all; within it the cheapest.
        foreach (var rank in choices.GroupBy(c => c.KindRank).OrderBy(g => g.Key))
        {
            var best = rank.Select(c => (Choice: c, Bought: Solve(c, verdict, device)))
                .Where(c => c.Bought is not null)
                .OrderBy(c => c.Bought!.Cost)
                .ThenBy(c => c.Bought!.Pieces)
                .FirstOrDefault();
            if (best.Bought is not null)
                return (best.Choice, channels, best.Bought, null);
        }
        return (choices[0], channels, null, Reason(choices, verdict, device));
    }

    /// <summary>The machine as a device for the patch.</summary>
    public static StudioDevice Device(Offer machine) =>
        new("machine", machine.Ports)
        {
            HasSafetyEarth = machine.Features.HasSafetyEarth,
            HasLiveChassis = machine.Features.HasLiveChassis,
        };

    private IReadOnlyList<PortChoice> Choices(StudioDevice machine, out int channels)
    {
        var all = PortChoice
            .All(_request.Interface, machine, new HashSet<Socket>())
            .Select(c =>
                (
                    There: c.Lanes.Where(l => l.LaneA.Flow == Flow.Out).ToArray(),
                    Back: c.Lanes.Where(l => l.LaneA.Flow == Flow.In).ToArray(),
                    c.KindRank
                )
            )
            .Where(c => c.There.Length > 0 && c.Back.Length > 0)
            .Select(c => (There: c.There.Take(_request.Channels).ToArray(), Back: c.Back.Take(_request.Channels).ToArray(), c.KindRank))
            .ToArray();
        var most = all.Select(c => (c.There.Length, c.Back.Length)).DefaultIfEmpty((0, 0)).Max();
        channels = Math.Min(most.Item1, most.Item2);
        return
        [
            .. all.Where(c => (c.There.Length, c.Back.Length) == most).Select(c => new PortChoice([.. c.There, .. c.Back], c.KindRank)),
        ];
    }

    private BasketChoice? Solve(PortChoice choice, MachineVerdict verdict, StudioDevice device)
    {
        var knots = _knots.Of(choice.Lanes, _request.Interface.HasSafetyEarth && device.HasSafetyEarth);
        var need = TapeNeed(verdict.Machine);
        var transformers = Transformers(verdict.Mains);
        var key =
            string.Join('#', knots.Select(k => k.Alone?.Task.Signature()))
            + $"|{need.Tenths}|{string.Join(',', need.Offers.Select(t => $"{t.Offer.Row}:{t.Tenths}"))}|{transformers is null} {verdict.Mains.TransformerTo}";
        if (!_known.TryGetValue(key, out var known))
            known = _known[key] =
                need.Tenths > 0 && need.Offers.Count == 0 || transformers is { Count: 0 }
                    ? null
                    : BasketSolver.Solve(new BasketProblem(knots, _parts, _stock, _partOffers, need.Tenths, need.Offers, transformers));
        // The ways of this machine, whose sockets may be called otherwise.
        return known is null ? null : known with { Ways = Renamed(known.Ways, knots) };
    }

    private static IReadOnlyList<(JoinSearch Search, JoinOption Option)> Renamed(
        IReadOnlyList<(JoinSearch Search, JoinOption Option)> ways,
        IReadOnlyList<JoinKnot> knots
    )
    {
        var renamed = new List<(JoinSearch, JoinOption)>();
        var at = 0;
        foreach (var (_, option) in ways)
        {
            var isAlone = knots[at].AloneOptions.Any(o => ReferenceEquals(o, option));
            renamed.Add((isAlone ? knots[at].Alone! : knots[at].WithNext!, option));
            at += isAlone ? 1 : 2;
        }
        return renamed;
    }

    private (long Tenths, IReadOnlyList<(Offer Offer, long Tenths)> Offers) TapeNeed(Offer machine)
    {
        var speed = TapeFit.SpeedCmPerSecond(machine, _request);
        var there = _request.DrawerTapes.Where(t => TapeFit.Fits(t, machine)).Sum(t => Tenths(TapeFit.Minutes(t, machine, speed)));
        var need = (long)Math.Ceiling(_request.TapeMinutes * 10) - there;
        return (
            Math.Max(0, need),
            need <= 0
                ? []
                :
                [
                    .. _tapes
                        .Where(t => TapeFit.Fits(t.Features, machine))
                        .Select(t => (t, Tenths(TapeFit.Minutes(t.Features, machine, speed))))
                        .Where(t => t.Item2 > 0),
                ]
        );
    }

    // Rounded down: a tape holds no more than it does.
    private static long Tenths(double minutes) => (long)Math.Floor(minutes * 10 + 1e-6);

    private IReadOnlyList<Offer>? Transformers(MainsVerdict mains)
    {
        if (
            mains.TransformerTo is not { } to
            || _request.DrawerTransformers.Any(t => MainsVerdict.Fits(t.FromVolts, t.ToVolts, _request.MainsVolts, to))
        )
            return null;
        return
        [
            .. _transformers.Where(t => MainsVerdict.Fits(t.Features.FromVolts!.Value, t.Features.ToVolts!.Value, _request.MainsVolts, to)),
        ];
    }

    private string Reason(IReadOnlyList<PortChoice> choices, MachineVerdict verdict, StudioDevice device)
    {
        if (TapeNeed(verdict.Machine) is { Tenths: > 0, Offers.Count: 0 })
            return "no tape on offer fits it";
        if (Transformers(verdict.Mains) is { Count: 0 })
            return $"it wants {verdict.Mains.TransformerTo:0} V, and no mains transformer on offer makes that of yours";
        return choices.Any(c =>
            _knots.Of(c.Lanes, _request.Interface.HasSafetyEarth && device.HasSafetyEarth).All(k => k.AloneOptions.Count > 0)
        )
            ? "too few of the leads that it needs are on offer, or too little tape"
            : "no lead in the drawer or on offer joins its sockets with yours";
    }
}
