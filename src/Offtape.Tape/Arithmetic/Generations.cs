using Offtape.Base;

namespace Offtape.Tape;

/// <summary>
/// What piles up when a print is printed again: equal noises add up in power, 10·log10(n); wobbles of runs that know nothing of each other by
/// the root of their number; losses of treble as often as they happen. Arithmetic of independent, equal generations: no measurement.
/// </summary>
public static class Generations
{
    /// <summary>Noise of so many generations over that of one, in dB.</summary>
    public static double NoiseDb(int generations) => Conversions.PowerToDb(generations);

    /// <summary>Wobble of so many generations against that of one.</summary>
    public static double WobbleRatio(int generations) => Math.Sqrt(generations);

    /// <summary>Loss at one frequency after so many generations, in dB.</summary>
    public static double LossDb(int generations, double lossOfOneDb) => generations * lossOfOneDb;
}
