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
    /// <param name="IsMost">True: no more than the limit; false: no less.</param>
    /// <param name="IsSize">The sign does not matter.</param>
    private sealed record Rule(string Quantity, string Condition, string Words, double Limit, bool IsMost, bool IsSize = false);

    private static readonly Rule[] Rules =
    [
        new("speedError", "", "speed, mean of 30 s", 1.5, true, true),
        new("weightedPeak", "", "wow and flutter, weighted", 0.2, true),
        new("responseSpread", "", "response, 250 Hz to 6.3 kHz", 5, true),
        new("crosstalk", "1 kHz", "crosstalk between stereo channels at 1 kHz", -20, true),
        new("balance", "1 kHz", "level difference of the channels", 2, true, true),
        new("erasure", "1 kHz", "erasure at 1 kHz", -60, true),
    ];

    /// <summary>Every line of it, the worst channel and condition of each.</summary>
    public static IReadOnlyList<YardstickLine> Hold(BenchReport report) =>
        [
            .. Rules.Select(rule =>
            {
                var read = report
                    .Readings.Where(r => r.Quantity == rule.Quantity && r.Condition.Contains(rule.Condition, StringComparison.Ordinal))
                    .Select(r =>
                        (
                            r.Unit,
                            Value: r.Value ?? (rule.IsMost ? r.AtMost : null),
                            Uncertainty: r.Uncertainty ?? 0,
                            IsLimit: r.Value is null
                        )
                    )
                    .Where(r => r.Value is not null)
                    .Select(r => (r.Unit, Value: rule.IsSize ? Math.Abs(r.Value!.Value) : r.Value!.Value, r.Uncertainty, r.IsLimit))
                    .ToArray();
                var unit = report.Readings.FirstOrDefault(r => r.Quantity == rule.Quantity)?.Unit ?? "";
                var wants =
                    $"{(rule.IsMost ? "at most" : "at least")} {Words.Number(rule.Limit, rule.Limit % 1 == 0 ? 0 : 1)} {unit}".TrimEnd();
                if (read.Length == 0)
                    return new YardstickLine(rule.Words, wants, null, unit, null);
                var worst = rule.IsMost ? read.MaxBy(r => r.Value) : read.MinBy(r => r.Value);
                bool? holds =
                    rule.IsMost && worst.Value + worst.Uncertainty <= rule.Limit
                    || !rule.IsMost && worst.Value - worst.Uncertainty >= rule.Limit
                        ? true
                    // An upper limit that lies above what is allowed proves nothing.
                    : worst.IsLimit ? null
                    : rule.IsMost && worst.Value - worst.Uncertainty > rule.Limit
                    || !rule.IsMost && worst.Value + worst.Uncertainty < rule.Limit
                        ? false
                    : null;
                return new YardstickLine(rule.Words, wants, worst.Value, unit, holds);
            }),
        ];
}
