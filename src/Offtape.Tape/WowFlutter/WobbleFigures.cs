namespace Offtape.Tape;

/// <summary>What <see cref="WobbleReadout"/> reads, all in per cent of speed.</summary>
/// <param name="WeightedTwoSigmaPercent">Weighted, what is not exceeded for 95 % of the time: the figure that AES6-2008 prefers.</param>
/// <param name="WeightedPeakPercent">Weighted, the highest that the quasi-peak detector shows: the older figure.</param>
/// <param name="WeightedRmsPercent">Weighted, root mean square.</param>
/// <param name="UnweightedPeakPercent">0.2 to 200 Hz, the largest deviation of either sign.</param>
/// <param name="UnweightedRmsPercent">0.2 to 200 Hz, root mean square.</param>
/// <param name="MeasuredSeconds">How long was read, without gaps and without the settling; AES6-2008 asks for 5 s or more.</param>
public readonly record struct WobbleFigures(
    double WeightedTwoSigmaPercent,
    double WeightedPeakPercent,
    double WeightedRmsPercent,
    double UnweightedPeakPercent,
    double UnweightedRmsPercent,
    double MeasuredSeconds
)
{
    /// <summary>The five figures in this order, for what is done to all of them alike.</summary>
    public double[] ToArray() =>
        [WeightedTwoSigmaPercent, WeightedPeakPercent, WeightedRmsPercent, UnweightedPeakPercent, UnweightedRmsPercent];
}
