using Offtape.Signal;

namespace Offtape.Tape;

/// <summary>
/// Reads wow and flutter from a curve of speed: the weighting, peak, RMS and two-sigma readout of AES6-2008 (IEC 60386 with Amendment 1).
/// The curve takes the place of the demodulated 3150 Hz tone.
/// </summary>
public static class WowFlutterMeter
{
    /// <summary>What the filter is given to settle before anything is read; its slowest poles (0.44 Hz) have then died away to 0.1 %.</summary>
    public const double SettlingSeconds = 3;

    /// <summary>The share of the time that the two-sigma reading is not exceeded.</summary>
    public const double TwoSigmaShare = 0.95;

    /// <summary>The weighted deviation, as long as the curve; its first <see cref="SettlingSeconds"/> are still settling.</summary>
    /// <param name="deviationPercent">Speed against nominal in per cent, equally spaced in time.</param>
    /// <param name="rateHz">Values in a second, at least <see cref="WowFlutterWeighting.LowestRateHz"/>.</param>
    public static double[] Weigh(ReadOnlySpan<double> deviationPercent, double rateHz)
    {
        var weighted = new double[deviationPercent.Length];
        var mean = Mean(deviationPercent);
        for (var i = 0; i < weighted.Length; i++)
            weighted[i] = deviationPercent[i] - mean;
        foreach (var section in WowFlutterWeighting.DesignFilter(rateHz))
            new Biquad(section).Process(weighted, weighted);
        return weighted;
    }

    /// <summary>All readings of a curve. The first three seconds settle the filter and are not read, or half of a curve below six seconds.</summary>
    /// <param name="deviationPercent">Speed against nominal in per cent, equally spaced in time; at least one value.</param>
    /// <param name="rateHz">Values in a second, at least <see cref="WowFlutterWeighting.LowestRateHz"/>.</param>
    public static WowFlutterReading Read(ReadOnlySpan<double> deviationPercent, double rateHz)
    {
        if (deviationPercent.IsEmpty)
            throw new ArgumentException("A speed curve needs at least one value.", nameof(deviationPercent));
        var settling = (int)Math.Min(Math.Round(SettlingSeconds * rateHz), deviationPercent.Length / 2);
        var mean = Mean(deviationPercent);
        var plain = new double[deviationPercent.Length - settling];
        for (var i = 0; i < plain.Length; i++)
            plain[i] = Math.Abs(deviationPercent[settling + i] - mean);
        var weighted = Weigh(deviationPercent, rateHz)[settling..];
        for (var i = 0; i < weighted.Length; i++)
            weighted[i] = Math.Abs(weighted[i]);
        var (weightedRms, plainRms) = (Rms(weighted), Rms(plain));
        Array.Sort(weighted);
        Array.Sort(plain);
        return new(
            Quantile(weighted, TwoSigmaShare),
            weighted[^1],
            weightedRms,
            Quantile(plain, TwoSigmaShare),
            plain[^1],
            plainRms,
            mean,
            plain.Length / rateHz
        );
    }

    private static double Mean(ReadOnlySpan<double> values)
    {
        var sum = 0.0;
        foreach (var value in values)
            sum += value;
        return values.IsEmpty ? 0 : sum / values.Length;
    }

    private static double Rms(ReadOnlySpan<double> values)
    {
        var sum = 0.0;
        foreach (var value in values)
            sum += value * value;
        return Math.Sqrt(sum / values.Length);
    }

    // The value below which the share of the sorted values lies, straight between two of them.
    private static double Quantile(double[] sorted, double share)
    {
        var position = share * (sorted.Length - 1);
        var index = Math.Min((int)position, Math.Max(0, sorted.Length - 2));
        return sorted.Length == 1 ? sorted[0] : sorted[index] + (position - index) * (sorted[index + 1] - sorted[index]);
    }
}
