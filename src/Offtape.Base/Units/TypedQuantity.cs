using System.Globalization;

namespace Offtape.Base;

/// <summary>Quantities as people and this program write them: a true minus sign and thin spaces may be pasted back from our own output.</summary>
public static class TypedQuantity
{
    /// <summary>A finite number; null where the text is none.</summary>
    public static double? Number(string text)
    {
        var plain = text.Replace(Words.Minus, '-').Replace(Words.ThinSpace.ToString(), "", StringComparison.Ordinal).Trim();
        return double.TryParse(plain, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && double.IsFinite(value)
            ? value
            : null;
    }

    /// <summary>A tape speed in cm/s from <c>19.05</c>, <c>19.05cm/s</c>, <c>7.5ips</c>, <c>7.5in/s</c>; null where the text is none.</summary>
    public static double? Speed(string text)
    {
        var plain = text.Trim();
        foreach (var inches in new[] { "ips", "in/s" })
            if (plain.EndsWith(inches, StringComparison.OrdinalIgnoreCase))
                return Number(plain[..^inches.Length]) is { } number ? Conversions.InchesToCm(number) : null;
        return Number(plain.EndsWith("cm/s", StringComparison.OrdinalIgnoreCase) ? plain[..^4] : plain);
    }
}
