using System.Globalization;
using Offtape.Base;

namespace Offtape.Web.Logging;

/// <summary>Figures and words as they are typed on a page. What is left empty is null: it was not said.</summary>
internal static class TypedFact
{
    /// <param name="text">As typed, with a point or a comma.</param>
    /// <param name="what">As the page calls it.</param>
    /// <param name="unit">Behind the bounds, where one of them is told; empty: it has none.</param>
    /// <param name="least">The least that is taken.</param>
    /// <param name="most">The most that is taken.</param>
    /// <exception cref="Fault">Usage: no number, or out of bounds.</exception>
    public static double? Number(string text, string what, string unit, double least, double most)
    {
        var typed = text.Trim();
        if (typed.Length == 0)
            return null;
        var plain = typed.Replace(',', '.').Replace('\u2212', '-');
        const NumberStyles signed = NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint;
        return double.TryParse(plain, signed, CultureInfo.InvariantCulture, out var value) && value >= least && value <= most
            ? value
            : throw Fault.Usage(
                $"{what}: \"{typed}\" is no number from {LogWords.Plain(least)} to {LogWords.With(LogWords.Plain(most), unit).Trim()}"
            );
    }

    /// <summary>Numbers of tracks, as <c>1,2</c>; empty where nothing is written.</summary>
    /// <exception cref="Fault">Usage: they are none.</exception>
    public static IReadOnlyList<int> Tracks(string text)
    {
        int[] numbers =
        [
            .. text.Split([',', ' '], StringSplitOptions.RemoveEmptyEntries)
                .Select(p => int.TryParse(p, NumberStyles.None, CultureInfo.InvariantCulture, out var n) && n <= 64 ? n : 0),
        ];
        return numbers.All(n => n > 0)
            ? [.. numbers.Distinct().Order()]
            : throw Fault.Usage($"Tracks are numbers, as 1,2, not \"{text.Trim()}\"");
    }

    /// <summary>The moment a thing is noted for: the beginning of a day, else now.</summary>
    public static string At(DateOnly? day, TimeProvider clock) =>
        day is { } date ? $"{date:yyyy-MM-dd}T00:00:00Z" : Words.Moment(clock.GetUtcNow().UtcDateTime);

    /// <summary>Words without what stands around them; null where none are left.</summary>
    public static string? Text(string typed) => typed.Trim() is { Length: > 0 } text ? text : null;
}
