using System.Globalization;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>Electrical levels as people write them: <c>4dBu</c>, <c>−10 dBV</c>, <c>0.5 V</c>, <c>20mV</c>.</summary>
public static class LevelWords
{
    /// <summary>The level in dBu; null where the text is none.</summary>
    public static double? ParseDbu(string text)
    {
        var plain = text.Replace(Words.Minus, '-')
            .Replace(Words.ThinSpace.ToString(), "", StringComparison.Ordinal)
            .Replace(" ", "", StringComparison.Ordinal);
        foreach (var (unit, toDbu) in Units)
        {
            if (!plain.EndsWith(unit, StringComparison.OrdinalIgnoreCase))
                continue;
            return
                double.TryParse(plain[..^unit.Length], NumberStyles.Float, CultureInfo.InvariantCulture, out var value)
                && toDbu(value) is var level
                && double.IsFinite(level)
                ? level
                : null;
        }
        return null;
    }

    /// <summary>A voltage as one says it: <c>1.23 V</c>, <c>18.1 mV</c>.</summary>
    public static string Volts(double volts) =>
        volts >= 1 ? $"{Words.Number(volts, 2)} V"
        : volts >= 0.1 ? $"{Words.Number(volts * 1e3, 0)} mV"
        : $"{Words.Number(volts * 1e3, volts >= 1e-3 ? 1 : 2)} mV";

    /// <summary>A resistance as one says it: <c>680 Ω</c>, <c>330 kΩ</c>, <c>1 MΩ</c>.</summary>
    public static string Ohms(double ohms) =>
        ohms >= 1e6 ? $"{ohms / 1e6:0.##} MΩ"
        : ohms >= 1e3 ? $"{ohms / 1e3:0.##} kΩ"
        : $"{ohms:0.##} Ω";

    // A voltage below zero is none: its logarithm is not finite, or that of another sign.
    private static IEnumerable<(string Unit, Func<double, double> ToDbu)> Units =>
        [
            ("dbu", v => v),
            ("dbv", v => Conversions.VoltsToDbu(Conversions.DbvToVolts(v))),
            ("mv", v => v > 0 ? Conversions.VoltsToDbu(v / 1e3) : double.NaN),
            ("v", v => v > 0 ? Conversions.VoltsToDbu(v) : double.NaN),
        ];
}
