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

    /// <summary>Whether it lies in a shell: then its name is that of a cassette.</summary>
    public bool IsCassette => Name.StartsWith('C');

    /// <summary>As one asks for it in a shop: "C60", "7 in reel of 1800 ft".</summary>
    public string InWords =>
        IsCassette ? Name : $"{Name.Split(',')[0]} reel of {Words.Number(Conversions.MetresToFeet(LengthMetres), 0)} ft";

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
    // Cassette machines run at 4.76 and 9.5 cm/s, with a pitch control at up to 12 % more; reel machines seldom below 9.5. Common practice.
    private const double FastestCassetteCmPerSecond = 12;
    private const double SlowestReelCmPerSecond = 9;

    // Thinner tape stretches and prints through: it is not proposed, nor is a cassette that is hard to find.
    private const double ThinnestUsualReelMicrometres = 35;
    private const int ShortestUsualCassetteMinutes = 46;

    // By definition of the names: half of the number in minutes at 1⅞ in/s.
    private const double LongestMetres = 100_000;

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
    [.. CassetteTypes.Select(c => new TapeLength($"C{c.Minutes}", CassetteMetres(c.Minutes), c.Thickness))];

    /// <summary>Reels by diameter and thickness, in feet as sold (R. Hess, tape timing chart).</summary>
    public static IReadOnlyList<TapeLength> Reels { get; } =
    [.. ReelTypes.Select(r => new TapeLength($"{r.Reel}, {r.Micrometres:0} µm", Conversions.FeetToMetres(r.Feet), r.Micrometres))];

    private static IReadOnlyList<TapeLength> UsualCassettes { get; } =
    [.. Cassettes.Where((_, i) => CassetteTypes[i].Minutes >= ShortestUsualCassetteMinutes)];

    private static IReadOnlyList<TapeLength> UsualReels { get; } =
    [.. Reels.Where(r => r.TotalThicknessMicrometres >= ThinnestUsualReelMicrometres)];

    /// <summary>The nominal length of a cassette by the number in its name: the minutes that both its sides play at 1⅞ in/s.</summary>
    public static double CassetteMetres(double minutes) => minutes / 2 * 60 * TapeSpeeds.OneAndSevenEighths.Speed.MetresPerSecond;

    /// <summary>The length in metres of a tape as one names it: <c>C60</c>, <c>1800ft</c>, <c>540m</c>; null where it is none, or no length.</summary>
    public static double? MetresOf(string tape)
    {
        var text = tape.Trim();
        var metres = text switch
        {
            ['C' or 'c', .. var minutes] => Number(minutes) is { } c ? CassetteMetres(c) : null,
            [.. var feet, 'f' or 'F', 't' or 'T'] => Number(feet) is { } f ? Conversions.FeetToMetres(f) : null,
            [.. var length, 'm' or 'M'] => Number(length),
            _ => null,
        };
        return metres is > 0 and < LongestMetres ? metres : null;
    }

    /// <summary>The shortest of these lengths that holds so many seconds between its margins; null when none does.</summary>
    public static TapeLength? ShortestFor(
        double seconds,
        IReadOnlyList<TapeLength> lengths,
        TapeSpeed speed,
        double startMarginSeconds,
        double endMarginSeconds
    ) => lengths.OrderBy(l => l.LengthMetres).FirstOrDefault(l => l.UsableSeconds(speed, startMarginSeconds, endMarginSeconds) >= seconds);

    /// <summary>The shortest usual tapes that hold so many seconds, margins included, on one side: a cassette, a reel, either, or none.</summary>
    /// <param name="seconds">With the blank tape at both ends.</param>
    /// <param name="speed">A cassette is proposed where cassette machines run; a reel where reel machines do, or no cassette is long enough.</param>
    public static IReadOnlyList<TapeLength> UsualFor(double seconds, TapeSpeed speed)
    {
        var cassette = speed.CmPerSecond < FastestCassetteCmPerSecond ? ShortestFor(seconds, UsualCassettes, speed, 0, 0) : null;
        var reel = speed.CmPerSecond >= SlowestReelCmPerSecond || cassette is null ? ShortestFor(seconds, UsualReels, speed, 0, 0) : null;
        return [.. new[] { cassette, reel }.OfType<TapeLength>()];
    }

    private static double? Number(string text) =>
        double.TryParse(text, System.Globalization.NumberStyles.AllowDecimalPoint, null, out var value) ? value : null;
}
