namespace Offtape.Tape;

/// <summary>
/// Wow and flutter in per cent of speed. "Weighted" is after the curve of AES6-2008; peak is half of a symmetric peak-to-peak, so a reading
/// of 0.1 is written ±0.1 %. Two-sigma is what is not exceeded for 95 % of the time.
/// </summary>
/// <param name="WeightedTwoSigmaPercent">The preferred figure of AES6-2008 and IEC 60386 Amendment 1.</param>
/// <param name="WeightedPeakPercent">The largest weighted deviation of either sign. No detector dynamics are applied.</param>
/// <param name="WeightedRmsPercent">Root mean square of the weighted deviation.</param>
/// <param name="UnweightedTwoSigmaPercent">As the first, of the deviation from the mean without weighting.</param>
/// <param name="UnweightedPeakPercent">The largest deviation from the mean speed.</param>
/// <param name="UnweightedRmsPercent">Root mean square of the deviation from the mean speed.</param>
/// <param name="MeanPercent">The mean deviation: the speed error.</param>
/// <param name="MeasuredSeconds">How long a stretch was measured after the filter had settled; the standard asks for 5 s or more.</param>
public sealed record WowFlutterReading(
    double WeightedTwoSigmaPercent,
    double WeightedPeakPercent,
    double WeightedRmsPercent,
    double UnweightedTwoSigmaPercent,
    double UnweightedPeakPercent,
    double UnweightedRmsPercent,
    double MeanPercent,
    double MeasuredSeconds
);
