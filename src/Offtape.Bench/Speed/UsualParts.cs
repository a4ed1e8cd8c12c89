using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>How often a part is likely to turn, as a bell over the logarithm of its turns.</summary>
/// <param name="Part">What it is.</param>
/// <param name="TurnsPerSecond">In the middle.</param>
/// <param name="Spread">Standard deviation of the natural logarithm.</param>
/// <param name="Weight">How often such a part is what is wrong, against the others.</param>
/// <param name="DiameterMm">Its size in the middle, where it runs at tape speed.</param>
internal sealed record PartRange(TurningPart Part, double TurnsPerSecond, double Spread, double Weight, double? DiameterMm)
{
    /// <summary>Density over the natural logarithm of the turns; thick tails, as there are always odd machines.</summary>
    internal double DensityAt(double turnsPerSecond)
    {
        var x = Math.Log(turnsPerSecond / TurnsPerSecond) / Spread;
        var wide = x / 3;
        return (0.85 * Math.Exp(-0.5 * x * x) + 0.05 * Math.Exp(-0.5 * wide * wide)) / (Spread * Math.Sqrt(2 * Math.PI));
    }
}

/// <summary>
/// Sizes that turning parts usually have, in millimetres from small to large: common practice, no source. Nine parts in ten are taken to lie
/// between the two.
/// </summary>
internal static class UsualParts
{
    // A rim that slips a little, a diameter read from a ruler.
    private const double KnownSpread = 0.025;

    // What is known of the very machine counts for more than what machines are like.
    private const double KnownWeight = 2;

    private static readonly (TurningPart Part, double FromMm, double ToMm, double Weight)[] Cassette =
    [
        (TurningPart.Capstan, 1.8, 3.2, 1),
        (TurningPart.PinchRoller, 9, 15, 1),
        (TurningPart.Idler, 3, 14, 1),
        // From the bare hub to the full pack of 90 minutes.
        (TurningPart.Hub, 22, 52, 1),
    ];

    private static readonly (TurningPart Part, double FromMm, double ToMm, double Weight)[] Reel =
    [
        (TurningPart.Capstan, 4, 14, 1),
        (TurningPart.PinchRoller, 22, 55, 1),
        (TurningPart.Idler, 8, 45, 1),
        // From the hub of a 13 cm reel to the full pack of a 27 cm one.
        (TurningPart.Hub, 45, 265, 1),
    ];

    // Parts that run by themselves: turns a second from few to many.
    private static readonly (TurningPart Part, double From, double To, double Weight)[] Driven =
    [
        (TurningPart.Belt, 2, 9, 0.4),
        (TurningPart.Motor, 12, 55, 0.7),
    ];

    internal static IReadOnlyList<PartRange> For(MachineFacts facts, double speedCmPerSecond)
    {
        var ranges = new List<PartRange>();
        var isCassette = facts.Format is { } format
            ? format.TapeWidthMm < 5
            : (bool?)(
                speedCmPerSecond < 7 ? true
                : speedCmPerSecond > 12 ? false
                : null
            );
        if (isCassette != false)
            Add(ranges, Cassette, speedCmPerSecond, isCassette is null ? 0.5 : 1);
        if (isCassette != true)
            Add(ranges, Reel, speedCmPerSecond, isCassette is null ? 0.5 : 1);
        foreach (var (part, from, to, weight) in Driven)
            ranges.Add(new(part, Math.Sqrt(from * to), Spread(from, to), weight, null));
        List<KnownPart> known = [.. facts.Parts];
        if (facts.CapstanMm is { } mm)
            known.Add(new(TurningPart.Capstan, mm));
        foreach (var kind in known.Select(k => k.Part).Distinct())
            ranges.RemoveAll(r => r.Part == kind);
        foreach (var part in known)
        {
            var turns = part.TurnsPerSecond ?? Turns(speedCmPerSecond, part.DiameterMm ?? double.NaN);
            if (turns is > 0 and < 1e4)
                ranges.Add(new(part.Part, turns, KnownSpread, KnownWeight, part.TurnsPerSecond is null ? part.DiameterMm : null));
        }
        return ranges;
    }

    /// <summary>Turns a second of what runs at tape speed by its rim: speed ÷ (π · diameter).</summary>
    internal static double Turns(double speedCmPerSecond, double diameterMm) => speedCmPerSecond * 10 / (Math.PI * diameterMm);

    private static void Add(
        List<PartRange> ranges,
        (TurningPart Part, double FromMm, double ToMm, double Weight)[] usual,
        double speedCmPerSecond,
        double share
    )
    {
        foreach (var (part, from, to, weight) in usual)
        {
            var middle = Math.Sqrt(from * to);
            ranges.Add(new(part, Turns(speedCmPerSecond, middle), Spread(from, to), weight * share, middle));
        }
    }

    // 90 % of a normal distribution lie within 1.645 standard deviations.
    private static double Spread(double from, double to) => Math.Log(to / from) / (2 * 1.645);
}
