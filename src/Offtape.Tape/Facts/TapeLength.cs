using Offtape.Base;

namespace Offtape.Tape;

/// <summary>A cassette or reel by its length.</summary>
/// <param name="Name">As one says it: "C60", "7 in, 35 µm".</param>
/// <param name="LengthMetres">Nominal length; real ones are a little longer.</param>
/// <param name="TotalThicknessMicrometres">Base and coating; null where none is usual.</param>
public sealed record TapeLength(string Name, double LengthMetres, double? TotalThicknessMicrometres)
{
    /// <summary>
    /// How much longer real tape is than its nominal length, as a share: about 6 % for reels (R. Hess, tape timing chart); cassettes of stored
    /// figures run 0 to 5 % over. No print should count on it.
    /// </summary>
    public const double UsualExcess = 0.06;

    /// <summary>Playing time of one side or pass, in seconds: length ÷ speed.</summary>
    public double PlayingSeconds(TapeSpeed speed) => LengthMetres * 100 / speed.CmPerSecond;

    /// <summary>What a side holds when nothing is to stand near its ends.</summary>
    /// <param name="speed">The speed of the pass.</param>
    /// <param name="startMarginSeconds">Leader and the first turns, which are the most worn.</param>
    /// <param name="endMarginSeconds">Time to stop before the tape does.</param>
    /// <returns>Seconds, 0 where the margins take all.</returns>
    public double UsableSeconds(TapeSpeed speed, double startMarginSeconds, double endMarginSeconds) =>
        Math.Max(0, PlayingSeconds(speed) - startMarginSeconds - endMarginSeconds);

    public static double MetresNeeded(double seconds, TapeSpeed speed) => seconds * speed.CmPerSecond / 100;
}

/// <summary>The lengths that tape is sold in.</summary>
public static class TapeLengths
{
    // By definition of the names: half of the number in minutes at 1⅞ in/s.
    private static readonly (int Minutes, double? Thickness)[] CassetteTypes = [(30, null), (46, 16), (60, 16), (90, 12), (120, 9)];

    private static readonly (string Reel, double Micrometres, double Feet)[] ReelTypes =
    [
        ("5 in", 50, 600),
        ("5 in", 35, 900),
        ("5 in", 25, 1200),
        ("5 in", 18, 1800),
        ("7 in", 50, 1200),
        ("7 in", 35, 1800),
        ("7 in", 25, 2400),
        ("7 in", 18, 3600),
        ("10½ in", 50, 2500),
        ("10½ in", 35, 3600),
        ("10½ in", 25, 4800),
        ("10½ in", 18, 7200),
    ];

    /// <summary>C30 to C120, length from the name; thickness of base and coating after stored makers' figures.</summary>
    public static IReadOnlyList<TapeLength> Cassettes { get; } =
    [
        .. CassetteTypes.Select(c => new TapeLength(
            $"C{c.Minutes}",
            c.Minutes / 2.0 * 60 * TapeSpeeds.OneAndSevenEighths.Speed.MetresPerSecond,
            c.Thickness
        )),
    ];

    /// <summary>Reels by diameter and thickness, in feet as sold (R. Hess, tape timing chart).</summary>
    public static IReadOnlyList<TapeLength> Reels { get; } =
    [.. ReelTypes.Select(r => new TapeLength($"{r.Reel}, {r.Micrometres:0} µm", Conversions.FeetToMetres(r.Feet), r.Micrometres))];

    /// <summary>The shortest of these lengths that holds so many seconds between its margins; null when none does.</summary>
    public static TapeLength? ShortestFor(
        double seconds,
        IReadOnlyList<TapeLength> lengths,
        TapeSpeed speed,
        double startMarginSeconds,
        double endMarginSeconds
    ) => lengths.OrderBy(l => l.LengthMetres).FirstOrDefault(l => l.UsableSeconds(speed, startMarginSeconds, endMarginSeconds) >= seconds);
}
