using Offtape.Base;

namespace Offtape.Bench;

/// <summary>
/// The sentence for a person: how the machine is, and what to try first. Thresholds are common practice but for those of DIN 45 500 sheet 4
/// (0.2 % weighted, 12.5 kHz, 2 dB between channels).
/// </summary>
internal static class BenchSummary
{
    private const double SteadyPercent = 0.2;
    private const double UnsteadyPercent = 0.4;
    private const double ApartDb = 2;
    private const double DullHz = 12_500;
    private const double HissDb = 45;
    private const double HumDb = -50;
    private const double DropoutsPerMinute = 1;

    // In the order in which they are said; advice is taken from the first two that have any, least invasive first.
    private static readonly Func<IReadOnlyList<Reading>, Phrase?>[] Rules = [Steadiness, Balance, Treble, Noise, Hum, Dropouts];

    private sealed record Phrase(string Words, string? Advice = null);

    internal static string Of(IReadOnlyList<Reading> readings)
    {
        Phrase[] phrases = [.. Rules.Select(rule => rule(readings)).OfType<Phrase>()];
        if (phrases.Length == 0)
            return "What was heard is not enough to say how the machine is.";
        var said = string.Join(", ", phrases.Select(p => p.Words));
        string[] advice = [.. phrases.Select(p => p.Advice).OfType<string>().Distinct().Take(2)];
        return $"{char.ToUpperInvariant(said[0])}{said[1..]}" + (advice.Length == 0 ? "." : $": {string.Join("; then ", advice)}.");
    }

    private static IEnumerable<Reading> All(IReadOnlyList<Reading> readings, string quantity, string condition = "") =>
        readings.Where(r => r.Quantity == quantity && r.Value is not null && r.Condition.Contains(condition, StringComparison.Ordinal));

    private static Phrase? Steadiness(IReadOnlyList<Reading> readings)
    {
        if (All(readings, "weightedTwoSigma").FirstOrDefault()?.Value is not { } percent)
            return null;
        var figure = $"{Words.Number(percent, 2)} %";
        return percent switch
        {
            <= SteadyPercent => new Phrase($"steady ({figure})"),
            <= UnsteadyPercent => new Phrase($"wavering ({figure} weighted)", "clean capstan and pinch roller, and try another tape"),
            _ => new Phrase($"unsteady ({figure} weighted)", "clean capstan and pinch roller, then look at belts and idlers"),
        };
    }

    private static Phrase? Balance(IReadOnlyList<Reading> readings)
    {
        Reading[] all = [.. All(readings, "balance")];
        if (all.Length == 0)
            return null;
        // Of pairs and levels the mid-frequency ones at operating level, where they are there.
        Reading[] mid = [.. all.Where(r => r.Condition.Contains("1 kHz", StringComparison.Ordinal))];
        var apart = (mid.Length > 0 ? mid : all).Max(r => Math.Abs(r.Value!.Value));
        return new Phrase(
            $"{Words.Number(apart, 1)} dB apart",
            apart > ApartDb ? "clean the heads, and set the record levels of both channels with a tone" : null
        );
    }

    private static Phrase? Treble(IReadOnlyList<Reading> readings)
    {
        Reading[] limits = [.. readings.Where(r => r.Quantity == "trebleLimit")];
        var level = limits.Select(r => r.Condition).FirstOrDefault();
        Reading[] own = [.. limits.Where(r => r.Condition == level)];
        if (own.Length == 0)
            return null;
        if (own.All(r => r.Value is null))
            return null;
        var worst = own.Where(r => r.Value is not null).MinBy(r => r.Value)!;
        var kilohertz = worst.Value!.Value / 1000;
        var which =
            own.Length > 1 && own.Where(r => r.Value is not null).Max(r => r.Value) > 1.3 * worst.Value
                ? $" in channel {worst.Channel}"
                : "";
        return worst.Value < DullHz
            ? new Phrase(
                $"dull above {Words.Number(kilohertz, kilohertz < 10 ? 1 : 0)} kHz{which}",
                "clean the heads first, then look at azimuth; bias and the kind of tape can be behind it as well"
            )
            : new Phrase($"clear to {Words.Number(kilohertz, 0)} kHz");
    }

    private static Phrase? Noise(IReadOnlyList<Reading> readings)
    {
        Reading[] all = [.. All(readings, "signalToNoiseAWeighted")];
        if (all.Length == 0)
            return null;
        var worst = all.Min(r => r.Value!.Value);
        return worst < HissDb
            ? new Phrase(
                $"hissing ({Words.Number(worst, 0)} dB under operating level, A-weighted)",
                "demagnetise the heads and try fresh tape"
            )
            : null;
    }

    private static Phrase? Hum(IReadOnlyList<Reading> readings)
    {
        Reading[] all = [.. All(readings, "hum")];
        return all.Length > 0 && all.Max(r => r.Value!.Value) > HumDb
            ? new Phrase(
                $"humming ({Words.Number(all.Max(r => r.Value!.Value), 0)} dB)",
                "look at how the machine and the interface are earthed"
            )
            : null;
    }

    private static Phrase? Dropouts(IReadOnlyList<Reading> readings)
    {
        Reading[] all = [.. All(readings, "dropoutsPerMinute")];
        if (all.Length == 0)
            return null;
        var most = all.Max(r => r.Value!.Value);
        return most > DropoutsPerMinute ? new Phrase($"{Words.Number(most, 0)} dropouts a minute", "try another tape") : null;
    }
}
