namespace Offtape.Bench;

/// <summary>The figures a person asks for first, in the order in which they ask.</summary>
public static class BenchGlance
{
    private const int MostOfOne = 4;

    // A quantity, and the condition at which it is asked for; empty for any.
    private static readonly (string Quantity, string Condition)[] First =
    [
        ("speedError", ""),
        ("speedDifference", ""),
        ("weightedTwoSigma", ""),
        ("weightedPeak", ""),
        ("bassLimit", "−20 dB"),
        ("trebleLimit", "−20 dB"),
        ("maximumOutputLevel", "315 Hz"),
        ("saturationOutputLevel", ""),
        ("thirdHarmonic", "315 Hz, 0 dB"),
        ("signalToNoiseAWeighted", ""),
        ("signalToNoiseUnweighted", ""),
        ("hum", ""),
        ("balance", "1 kHz"),
        ("crosstalk", "1 kHz"),
        ("interChannelDelay", ""),
        ("azimuth", ""),
        ("dropoutsPerMinute", "3 dB and deeper"),
        ("erasure", ""),
        ("sendToReturnDelay", ""),
        ("headDistance", ""),
    ];

    /// <summary>Of each at most four: channels, pairs of them. Only what has a figure or a limit.</summary>
    public static IReadOnlyList<Reading> Of(BenchReport report) =>
        [
            .. First.SelectMany(f =>
            {
                Reading[] read = [.. report.Readings.Where(r => r.Quantity == f.Quantity && (r.Value is not null || r.AtMost is not null))];
                Reading[] asked = [.. read.Where(r => r.Condition.Contains(f.Condition, StringComparison.Ordinal))];
                // Of a part alone, what it says at its own level or tone.
                return (asked.Length > 0 ? asked : read.Where(r => r.Condition == read[0].Condition)).Take(MostOfOne);
            }),
        ];
}
