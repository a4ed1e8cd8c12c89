using Offtape.Base;

namespace Offtape.Bench;

/// <summary>Holds a rule's test against readings and notices.</summary>
internal static class RuleTestHolds
{
    /// <summary>The readings by which the test holds, in words; null where it does not, and empty for a notice.</summary>
    internal static IReadOnlyList<string>? Seen(RuleTest test, IReadOnlyList<Reading> readings, IReadOnlyList<Notice> notices)
    {
        if (test.Notice is not null)
            return notices.Any(n => n.Code == test.Notice && (test.Says is null || n.Text.Contains(test.Says, StringComparison.Ordinal)))
                ? []
                : null;
        Reading[] own =
        [
            .. readings.Where(r =>
                r.Quantity == test.Quantity && (test.At is null || r.Condition.Contains(test.At, StringComparison.Ordinal))
            ),
        ];
        if (test.ApartAbove is { } apart)
            return Pair(own, test, (a, b, u) => Math.Abs(a - b) - u > apart);
        if (test.RatioAbove is { } ratio)
            return Pair(own, test, (a, b, u) => Math.Min(a, b) > 0 && Math.Max(a, b) - u > ratio * Math.Min(a, b));
        Reading[] holding = [.. own.Where(r => Holds(test, r))];
        return holding.Length == 0 ? null : [.. holding.Select(Words)];
    }

    private static bool Holds(RuleTest test, Reading reading)
    {
        var reach = (test.Margin ?? 1) * (reading.Uncertainty ?? 0);
        if (reading.Value is not { } value)
            // What it does not exceed lies below the limit: so does the figure.
            return reading.AtMost is { } most && test.Below is { } limit && most < limit;
        if (test.Below is { } below)
            return value + reach < below;
        if (test.Above is { } above)
            return value - reach > above;
        if (test.SizeAbove is { } larger)
            return Math.Abs(value) - reach > larger;
        return test.SizeBelow is { } smaller && Math.Abs(value) + reach < smaller;
    }

    // Channels are compared at one condition only.
    private static string[]? Pair(Reading[] readings, RuleTest test, Func<double, double, double, bool> holds)
    {
        foreach (var group in readings.Where(r => r is { Value: not null, Channel: not null }).GroupBy(r => r.Condition))
        {
            var (low, high) = (group.MinBy(r => r.Value)!, group.MaxBy(r => r.Value)!);
            var reach = (test.Margin ?? 1) * double.Hypot(low.Uncertainty ?? 0, high.Uncertainty ?? 0);
            if (holds(low.Value!.Value, high.Value!.Value, reach))
                return [Words(low), Words(high)];
        }
        return null;
    }

    private static string Words(Reading reading) =>
        $"{ComparisonWords.Name(reading.Quantity, reading.Condition, reading.Channel)}: {ReadingFigures.Value(reading)} {reading.Unit}".TrimEnd();
}
