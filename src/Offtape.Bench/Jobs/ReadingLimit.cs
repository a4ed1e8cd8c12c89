using Offtape.Base;

namespace Offtape.Bench;

/// <summary>A limit of the user's own: <c>weightedTwoSigma=..0.15</c>, <c>signalToNoiseAWeighted=56..</c>, <c>balance=-1..1</c>.</summary>
/// <param name="Quantity">As readings have it.</param>
/// <param name="Least">Null: none.</param>
/// <param name="Most">Null: none.</param>
public sealed record ReadingLimit(string Quantity, double? Least, double? Most)
{
    /// <exception cref="Fault">Usage: the text is none.</exception>
    public static ReadingLimit Parse(string text)
    {
        var equals = text.IndexOf('=');
        var dots = text.IndexOf("..", StringComparison.Ordinal);
        if (equals > 0 && dots > equals)
        {
            var (least, most) = (text[(equals + 1)..dots], text[(dots + 2)..]);
            var (low, high) = (Number(least), Number(most));
            if (
                (low is not null || least.Length == 0)
                && (high is not null || most.Length == 0)
                && (low ?? high) is not null
                && !(low > high)
            )
                return new ReadingLimit(text[..equals].Trim(), low, high);
        }
        throw Fault.Usage($"--limit is a quantity and a range, as weightedTwoSigma=..0.15 or balance=-1..1, not \"{text}\"");
    }

    /// <summary>A sentence for each reading that lies outside, its uncertainty left out of account.</summary>
    internal IEnumerable<string> Outside(IReadOnlyList<Reading> readings) =>
        readings
            .Where(r => r.Quantity == Quantity && (r.Value < Least || r.Value > Most))
            .Select(r =>
                $"{QuantityWords.Of(r.Quantity)}{(r.Condition.Length > 0 ? $", {r.Condition}" : "")}{(r.Channel is { } c ? $", channel {c}" : "")}: "
                + $"{ReadingFigures.Value(r)} {r.Unit} is {(r.Value < Least ? $"under {Plain(Least)}" : $"over {Plain(Most)}")} {r.Unit}".TrimEnd()
            );

    private static string Plain(double? limit) => limit!.Value.ToString("0.######").Replace('-', Words.Minus);

    private static double? Number(string text) =>
        double.TryParse(text.Replace(Words.Minus, '-'), out var value) && double.IsFinite(value) ? value : null;
}
