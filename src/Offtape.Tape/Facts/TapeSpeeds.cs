using Offtape.Base;

namespace Offtape.Tape;

/// <summary>A nominal tape speed as it is written on machines.</summary>
/// <param name="Speed">The speed itself.</param>
/// <param name="InchesPerSecondText">As it is said in inches: "7½".</param>
/// <param name="UsedOn">Where it is met.</param>
public sealed record NominalSpeed(TapeSpeed Speed, string InchesPerSecondText, string UsedOn);

/// <summary>
/// The nominal tape speeds, a geometric progression of two (IEC 60094-1 Amendment 1:1994, clause 10), each exact in inches. Printed metric
/// values are rounded: 4.76, 9.5, 19, 38, 76.
/// </summary>
public static class TapeSpeeds
{
    // A pitch control reaches some 12 %, a worn motor 3: nearer than this it is that speed, beyond it nobody can tell.
    private const double WidestDeviation = 0.07;

    public static NominalSpeed FifteenSixteenths { get; } = Make(15.0 / 16, "15⁄16", "dictation, logging");

    public static NominalSpeed OneAndSevenEighths { get; } = Make(1.875, "1⅞", "cassettes, slow reels");

    public static NominalSpeed ThreeAndThreeQuarters { get; } = Make(3.75, "3¾", "home reels, multitrack cassettes");

    public static NominalSpeed SevenAndAHalf { get; } = Make(7.5, "7½", "reels");

    public static NominalSpeed Fifteen { get; } = Make(15, "15", "studio reels");

    public static NominalSpeed Thirty { get; } = Make(30, "30", "studio reels");

    /// <summary>All of them, slowest first.</summary>
    public static IReadOnlyList<NominalSpeed> All { get; } =
    [FifteenSixteenths, OneAndSevenEighths, ThreeAndThreeQuarters, SevenAndAHalf, Fifteen, Thirty];

    /// <summary>
    /// Tolerance of mean speed in per cent: ±1.5 for home machines over 30 s (DIN 45 500 sheet 4), as a copy gives it.
    /// </summary>
    public const double HomeTolerancePercent = 1.5;

    /// <summary>The nominal speed that a speed belongs to, within 7 %; null when it is near none.</summary>
    public static NominalSpeed? Nearest(TapeSpeed speed)
    {
        foreach (var nominal in All)
        {
            if (Math.Abs(speed.CmPerSecond / nominal.Speed.CmPerSecond - 1) <= WidestDeviation)
                return nominal;
        }
        return null;
    }

    private static NominalSpeed Make(double inchesPerSecond, string text, string usedOn) =>
        new(TapeSpeed.FromInchesPerSecond(inchesPerSecond), text, usedOn);
}
