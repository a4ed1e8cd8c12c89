using Offtape.Signal;

namespace Offtape.Tape;

/// <summary>
/// The figures of wow and flutter of AES6-2008 (IEC 60386 with Amendment 1) from a curve of speed that may have gaps: weighted two-sigma,
/// RMS and quasi-peak, and unweighted from <see cref="LowestHz"/> to the curve's own upper end. Amendment 1 asks an unweighted response to
/// be flat from 0.1 to 200 Hz at least and states no tolerance; the band read here is the common one and is written with the figures.
/// </summary>
public static class WobbleReadout
{
    /// <summary>Lower end of the unweighted band, 3 dB down.</summary>
    public const double LowestHz = 0.2;

    /// <summary>What the filters are given to settle before anything is read; a quarter of a curve shorter than four times this.</summary>
    public const double SettlingSeconds = 3;

    // Before its beginning the curve goes on as its mirror image, so that little is left to settle.
    private const double MirrorSeconds = 10;

    /// <param name="deviationPercent">Speed in per cent of any constant, equally spaced in time; its mean and its straight line do not count.</param>
    /// <param name="rateHz">Values in a second, at least <see cref="WowFlutterWeighting.LowestRateHz"/>.</param>
    /// <param name="isGap">Values that are bridged and not counted; empty for none.</param>
    public static WobbleFigures Read(ReadOnlySpan<double> deviationPercent, double rateHz, ReadOnlySpan<bool> isGap = default)
    {
        if (deviationPercent.IsEmpty)
            throw new ArgumentException("A speed curve needs at least one value.", nameof(deviationPercent));
        var first = (int)Math.Min(SettlingSeconds * rateHz, deviationPercent.Length / 4);
        var straight = StraightLine.Without(deviationPercent);
        var weighted = Filtered(straight, WowFlutterWeighting.DesignFilter(rateHz), rateHz);
        var plain = Filtered(straight, FilterDesign.ButterworthHighPass(2, LowestHz, rateHz), rateHz);
        var detector = new WobblePeakDetector(rateHz);
        var size = new double[weighted.Length - first];
        var (count, shown, squares, plainPeak, plainSquares) = (0, 0.0, 0.0, 0.0, 0.0);
        // The pointer takes part in the settling, so that it does not start from rest.
        for (var i = 0; i < weighted.Length; i++)
        {
            var indicated = detector.Process(weighted[i]);
            if (i < first || !isGap.IsEmpty && isGap[i])
                continue;
            shown = Math.Max(shown, indicated);
            size[count++] = Math.Abs(weighted[i]);
            squares += weighted[i] * weighted[i];
            plainPeak = Math.Max(plainPeak, Math.Abs(plain[i]));
            plainSquares += plain[i] * plain[i];
        }
        if (count == 0)
            return new(double.NaN, double.NaN, double.NaN, double.NaN, double.NaN, 0);
        return new(
            TwoSigma(size.AsSpan(0, count)),
            shown,
            Math.Sqrt(squares / count),
            plainPeak,
            Math.Sqrt(plainSquares / count),
            count / rateHz
        );
    }

    private static double[] Filtered(double[] straight, BiquadCoefficients[] sections, double rateHz)
    {
        var mirror = (int)Math.Min(MirrorSeconds * rateHz, straight.Length - 1);
        var whole = new double[mirror + straight.Length];
        straight.CopyTo(whole, mirror);
        for (var i = 0; i < mirror; i++)
            whole[i] = straight[mirror - i];
        foreach (var section in sections)
            new Biquad(section).Process(whole, whole);
        return whole[mirror..];
    }

    // The value below which the share of all lies, straight between two of them.
    private static double TwoSigma(Span<double> size)
    {
        size.Sort();
        var position = WowFlutterMeter.TwoSigmaShare * (size.Length - 1);
        var index = Math.Min((int)position, Math.Max(0, size.Length - 2));
        return size.Length == 1 ? size[0] : size[index] + (position - index) * (size[index + 1] - size[index]);
    }
}
