using Offtape.Base;

namespace Offtape.Bench;

/// <summary>Candidates as readings: one for each part, its likelihood in per cent.</summary>
internal static class PartReadings
{
    // Less likely ones are not worth a reader's time.
    private const int Most = 4;

    private const double LeastLikelihood = 0.02;

    internal static IEnumerable<Reading> Of(IReadOnlyList<PartCandidate> candidates, HowTaken how, MachineFacts facts)
    {
        var reading = new Reading
        {
            Quantity = "turningPart",
            Unit = "%",
            Method = "lines of the speed curve against how often such parts turn: a candidate by its likelihood, no certainty",
            Standard = "sizes of parts: common practice, no source",
        };
        if (facts.SpeedCmPerSecond is null)
            return [reading with { Reason = "the tape speed is not known, and without it no frequency belongs to a part" }];
        var shown = candidates.Where(c => c.Likelihood >= LeastLikelihood).Take(Most).ToArray();
        if (shown.Length == 0)
            return [reading with { Reason = "no line stands out of the speed curve: no turning part does much more than the others" }];
        return shown.Select(c =>
            reading with
            {
                Condition = PartNames.Of(c.Part),
                Value = 100 * c.Likelihood,
                Method =
                    $"{c.Words}; lines at {Words.List([.. c.LinesHz.Select(hz => SpeedReadings.Frequency(hz) + " Hz")])}"
                    + (how == HowTaken.Rewound ? ", of both runs" : "")
                    + ". A candidate by its likelihood, no certainty",
            }
        );
    }
}
