using Offtape.Base;

namespace Offtape.Bench;

/// <summary>How a report stands against one line of a yardstick.</summary>
/// <param name="Words">What is asked.</param>
/// <param name="Wants">The limit in words.</param>
/// <param name="Got">The figure that counts; null where it was not read.</param>
/// <param name="Unit">Of the figure.</param>
/// <param name="Holds">True or false; null where it was not read, or its uncertainty reaches over the limit.</param>
public sealed record YardstickLine(string Words, string Wants, double? Got, string Unit, bool? Holds);

/// <summary>
/// DIN 45 500 sheet 4, the minimum that was asked of hi-fi tape machines, reel and cassette (as reported by tonbandmuseum.info): a yardstick,
/// not a verdict.
/// </summary>
public static class Yardstick
{
    public const string Name = "DIN 45 500 sheet 4";

    /// <param name="Quantity">Of the reading.</param>
    /// <param name="Condition">That it must hold; empty for any.</param>
    /// <param name="Words">What is asked.</param>
    /// <param name="Limit">In the reading's unit.</param>
    /// <param name="Unit">Of the limit.</param>
    /// <param name="IsMost">True: no more than the limit; false: no less.</param>
    /// <param name="IsSize">The sign does not matter.</param>
    private sealed record Rule(
        string Quantity,
        string Condition,
        string Words,
        double Limit,
        string Unit,
        bool IsMost,
        bool IsSize = false
    );

    private static readonly Rule[] Rules =
    [
        new("speedError", "", "speed, mean of 30 s", 1.5, "%", true, true),
        new("weightedPeak", "", "wow and flutter, weighted", 0.2, "%", true),
        new("responseSpread", "−20 dB", "response, 250 Hz to 6.3 kHz", 5, "dB", true),
        new("crosstalk", "1 kHz", "crosstalk between stereo channels at 1 kHz", -20, "dB", true),
        new("balance", "1 kHz", "level difference of the channels", 2, "dB", true, true),
        new("erasure", "1 kHz", "erasure at 1 kHz", -60, "dB", true),
    ];

    /// <summary>Every line of it, the worst channel and condition of each.</summary>
    public static IReadOnlyList<YardstickLine> Hold(BenchReport report) =>
        [
            .. Rules.Select(rule =>
                Hold(
                    rule,
                    [
                        .. report.Readings.Where(r =>
                            r.Quantity == rule.Quantity && r.Condition.Contains(rule.Condition, StringComparison.Ordinal)
                        ),
                    ]
                )
            ),
            Hold(NoiseRule, [.. Together(report, "signalToNoiseUnweighted", "", "maximumOutputLevel", "315 Hz", 1)]),
            Hold(TrebleRule, [.. Together(report, "maximumOutputLevel", "315 Hz", "saturationOutputLevel", "10 kHz", -1)]),
        ];

    // Against full modulation: the output at 3 % third harmonic, here of 315 Hz where the sheet has 333 Hz.
    private static Rule NoiseRule { get; } = new("", "", "unweighted noise under full modulation", 46, "dB", false);

    private static Rule TrebleRule { get; } = new("", "", "full level at 10 kHz under that at 333 Hz", 15, "dB", true);

    // The sum (or difference) of two readings of each channel, their uncertainties as independent.
    private static IEnumerable<Reading> Together(BenchReport report, string a, string atA, string b, string atB, int sign) =>
        from first in report.Readings
        where first.Quantity == a && first.Value is not null && first.Condition.Contains(atA, StringComparison.Ordinal)
        let second = report.Find(b, first.Channel, atB)
        where second is not null
        select first with
        {
            Value = first.Value + sign * second.Value,
            Uncertainty = Math.Sqrt(Math.Pow(first.Uncertainty ?? 0, 2) + Math.Pow(second.Uncertainty ?? 0, 2)),
        };

    private static YardstickLine Hold(Rule rule, Reading[] readings)
    {
        var unit = rule.Unit;
        var wants = $"{(rule.IsMost ? "at most" : "at least")} {Words.Number(rule.Limit, rule.Limit % 1 == 0 ? 0 : 1)} {unit}".TrimEnd();
        var read = readings
            .Select(r => (Value: r.Value ?? (rule.IsMost ? r.AtMost : null), Uncertainty: r.Uncertainty ?? 0, IsLimit: r.Value is null))
            .Where(r => r.Value is not null)
            .Select(r => (Value: rule.IsSize ? Math.Abs(r.Value!.Value) : r.Value!.Value, r.Uncertainty, r.IsLimit))
            .ToArray();
        if (read.Length == 0)
            return new YardstickLine(rule.Words, wants, null, unit, null);
        var worst = rule.IsMost ? read.MaxBy(r => r.Value) : read.MinBy(r => r.Value);
        // How far inside the limit it is.
        var room = rule.IsMost ? rule.Limit - worst.Value : worst.Value - rule.Limit;
        bool? holds =
            room >= worst.Uncertainty ? true
            // An upper limit that lies above what is allowed proves nothing.
            : room < -worst.Uncertainty && !worst.IsLimit ? false
            : null;
        return new YardstickLine(rule.Words, wants, worst.Value, unit, holds);
    }
}
