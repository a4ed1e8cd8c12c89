using Offtape.Base;

namespace Offtape.Signal;

/// <summary>The A weighting of IEC 61672-1:2013, from the poles of its Annex E; the gain is 0 dB at 1 kHz, as clause 5.5.6 asks.</summary>
public static class AWeighting
{
    // f1, f2, f3 and f4 of Annex E, at the precision of its formulas.
    private const double F1Hz = 20.598997;
    private const double F2Hz = 107.65265;
    private const double F3Hz = 737.86223;
    private const double F4Hz = 12_194.217;

    /// <summary>Gain in dB at a frequency from 0 up; −∞ at 0 Hz.</summary>
    public static double GainDbAt(double frequencyHz) => Conversions.PowerToDb(PowerGainAt(frequencyHz));

    /// <summary>The same as a factor of power.</summary>
    public static double PowerGainAt(double frequencyHz) => Raw(frequencyHz) / Raw(1000);

    private static double Raw(double frequencyHz)
    {
        var f2 = frequencyHz * frequencyHz;
        var denominator = (f2 + F1Hz * F1Hz) * Math.Sqrt(f2 + F2Hz * F2Hz) * Math.Sqrt(f2 + F3Hz * F3Hz) * (f2 + F4Hz * F4Hz);
        var gain = F4Hz * F4Hz * f2 * f2 / denominator;
        return gain * gain;
    }
}
