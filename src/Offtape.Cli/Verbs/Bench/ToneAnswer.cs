using Offtape.Bench;

namespace Offtape.Cli.Verbs.Bench;

/// <summary>The JSON of <c>bench tone</c>. Uncertainties are half of the interval that holds the truth 95 times in 100.</summary>
internal sealed record ToneAnswer(
    double? MeanFrequencyHz,
    double? MeanFrequencyUncertaintyHz,
    double? NominalHz,
    bool IsNominalAssumed,
    double? SpeedErrorPercent,
    double? SpeedErrorUncertaintyPercent,
    double? DriftPercent,
    double? DriftUncertaintyPercent,
    double? WeightedTwoSigmaPercent,
    double? WeightedTwoSigmaUncertaintyPercent,
    double? WeightedPeakPercent,
    double? WeightedPeakUncertaintyPercent,
    double? WeightedRmsPercent,
    double? WeightedRmsUncertaintyPercent,
    double? UnweightedPeakPercent,
    double? UnweightedPeakUncertaintyPercent,
    double? UnweightedRmsPercent,
    double? UnweightedRmsUncertaintyPercent,
    double UnweightedFromHz,
    double UnweightedToHz,
    IReadOnlyList<ToneLine> Lines,
    IReadOnlyList<TonePart> Parts,
    double StartSeconds,
    double LengthSeconds,
    double MeasuredSeconds,
    double SignalToNoiseDb
)
{
    internal static ToneAnswer Of(ToneReport r)
    {
        double? Unsure(string quantity) => r.Find(quantity)?.Uncertainty;
        return new(
            r.Value("meanFrequency"),
            Unsure("meanFrequency"),
            r.NominalHz,
            r.IsNominalAssumed,
            r.Value("speedError"),
            Unsure("speedError"),
            r.Value("drift"),
            Unsure("drift"),
            r.Value("weightedTwoSigma"),
            Unsure("weightedTwoSigma"),
            r.Value("weightedPeak"),
            Unsure("weightedPeak"),
            r.Value("weightedRms"),
            Unsure("weightedRms"),
            r.Value("unweightedPeak"),
            Unsure("unweightedPeak"),
            r.Value("unweightedRms"),
            Unsure("unweightedRms"),
            Tape.WobbleReadout.LowestHz,
            r.BandHz,
            [.. r.Lines.Select(l => new ToneLine(l.FrequencyHz, l.PeakPercent))],
            [.. r.Parts.Select(p => new TonePart(PartNames.Of(p.Part), p.TurnsPerSecond, p.Likelihood, p.LinesHz))],
            r.StartSeconds,
            r.LengthSeconds,
            r.MeasuredSeconds,
            r.SignalToNoiseDb
        );
    }
}

/// <summary>One line of the speed curve.</summary>
internal sealed record ToneLine(double Hz, double PercentPeak);

/// <summary>A turning part that lines may come from, 0 to 1 likely.</summary>
internal sealed record TonePart(string Part, double TurnsPerSecond, double Likelihood, IReadOnlyList<double> LinesHz);
