namespace Offtape.Base;

/// <summary>
/// Every conversion between units, each named from its source to its target. Nothing else in the program converts by hand.
/// Levels: amplitude ratios use 20·log10, power ratios 10·log10; silence is negative infinity.
/// </summary>
public static class Conversions
{
    /// <summary>Centimetres in one inch, exact (International Yard and Pound Agreement, 1959).</summary>
    public const double CmPerInch = 2.54;

    /// <summary>Feet to metres, exact.</summary>
    public const double MetresPerFoot = 0.3048;

    /// <summary>The voltage of 0 dBu: one milliwatt in 600 Ω, √0.6 V.</summary>
    public static readonly double VoltsAtZeroDbu = Math.Sqrt(0.6);

    /// <summary>20·log10 of a linear amplitude (1.0 = 0 dB). Zero gives −∞; the sign is ignored.</summary>
    public static double AmplitudeToDb(double amplitudeLinear) => 20 * Math.Log10(Math.Abs(amplitudeLinear));

    public static double DbToAmplitude(double decibels) => Math.Pow(10, decibels / 20);

    /// <summary>10·log10 of a linear power. Zero gives −∞.</summary>
    public static double PowerToDb(double powerLinear) => 10 * Math.Log10(powerLinear);

    public static double DbToPower(double decibels) => Math.Pow(10, decibels / 10);

    /// <summary>A frequency or speed ratio in cents: 1200·log2(ratio).</summary>
    public static double RatioToCents(double ratio) => 1200 * Math.Log2(ratio);

    public static double CentsToRatio(double cents) => Math.Pow(2, cents / 1200);

    /// <summary>A ratio as a deviation in per cent: 1.003 is +0.3.</summary>
    public static double RatioToPercent(double ratio) => (ratio - 1) * 100;

    public static double PercentToRatio(double percent) => 1 + percent / 100;

    /// <summary>The nearest whole frame, ties away from zero.</summary>
    public static long SecondsToFrames(double seconds, int sampleRateHz) =>
        (long)Math.Round(seconds * sampleRateHz, MidpointRounding.AwayFromZero);

    /// <summary>The fewest whole frames that hold the whole duration.</summary>
    public static long SecondsToFramesCeiling(double seconds, int sampleRateHz) => (long)Math.Ceiling(seconds * sampleRateHz);

    public static double FramesToSeconds(long frameCount, int sampleRateHz) => (double)frameCount / sampleRateHz;

    public static double FramesToSeconds(double frames, int sampleRateHz) => frames / sampleRateHz;

    public static double InchesToCm(double inches) => inches * CmPerInch;

    public static double CmToInches(double centimetres) => centimetres / CmPerInch;

    public static double FeetToMetres(double feet) => feet * MetresPerFoot;

    public static double MetresToFeet(double metres) => metres / MetresPerFoot;

    public static double DbuToVolts(double levelDbu) => VoltsAtZeroDbu * DbToAmplitude(levelDbu);

    public static double VoltsToDbu(double volts) => AmplitudeToDb(volts / VoltsAtZeroDbu);

    public static double DbvToVolts(double levelDbv) => DbToAmplitude(levelDbv);

    public static double VoltsToDbv(double volts) => AmplitudeToDb(volts);

    public static double ArcMinutesToRadians(double minutes) => minutes * Math.PI / (180 * 60);

    public static double RadiansToArcMinutes(double radians) => radians * (180 * 60) / Math.PI;
}
