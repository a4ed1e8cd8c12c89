using System.Globalization;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>Sums of money and other numbers as tables have them: with a point or a comma, never guessing which is meant.</summary>
internal static class MoneyWords
{
    private const decimal Most = 10_000_000;

    /// <exception cref="FormatException">It is no sum, is below zero, or could be read in two ways.</exception>
    public static decimal Parse(string text)
    {
        var plain = text.Trim().Trim('€', '$', '£').Trim();
        foreach (var unit in new[] { "EUR", "USD", "GBP", "CHF" })
            plain =
                plain.StartsWith(unit, StringComparison.OrdinalIgnoreCase) ? plain[3..].Trim()
                : plain.EndsWith(unit, StringComparison.OrdinalIgnoreCase) ? plain[..^3].Trim()
                : plain;
        var sum = Number(plain, text);
        if (sum < 0)
            throw new FormatException($"\"{text}\" is below zero");
        if (sum > Most)
            throw new FormatException($"\"{text}\" is more than {Most:0}");
        return decimal.Round(sum, 2) == sum ? sum : throw new FormatException($"\"{text}\" has parts of a cent");
    }

    /// <summary>A number above zero.</summary>
    /// <exception cref="FormatException">It is none.</exception>
    public static double Positive(string text) =>
        Number(text.Trim(), text) is > 0 and var number
            ? (double)number
            : throw new FormatException($"\"{text}\" is not a number above zero");

    private static decimal Number(string plain, string asWritten)
    {
        plain = plain
            .Replace(Words.Minus, '-')
            .Replace(" ", "", StringComparison.Ordinal)
            .Replace("\u00A0", "", StringComparison.Ordinal)
            .Replace(Words.ThinSpace.ToString(), "", StringComparison.Ordinal);
        var (comma, point) = (plain.LastIndexOf(','), plain.LastIndexOf('.'));
        if (comma >= 0 && point >= 0)
            // The later of the two is the decimal one; the other groups thousands.
            plain =
                comma > point
                    ? plain.Replace(".", "", StringComparison.Ordinal).Replace(',', '.')
                    : plain.Replace(",", "", StringComparison.Ordinal);
        else if (comma >= 0)
        {
            if (plain.Length - comma - 1 == 3)
                throw new FormatException(
                    $"\"{asWritten}\" could be a thousand or a fraction: write it without the comma, or with two decimals"
                );
            plain = plain.Replace(',', '.');
        }
        return decimal.TryParse(
            plain,
            NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint,
            CultureInfo.InvariantCulture,
            out var number
        )
            ? number
            : throw new FormatException($"\"{asWritten}\" is not a number");
    }
}
