using Offtape.Base;

namespace Offtape.Bench;

/// <summary>Readings in figures: as many places as the uncertainty carries.</summary>
public static class ReadingFigures
{
    private const int MostDecimals = 6;

    /// <summary>Decimals so that the uncertainty shows two digits, as JCGM 100:2008, 7.2.6, has it; without one, four digits of the value.</summary>
    public static int Decimals(double value, double? uncertainty)
    {
        var size = uncertainty is > 0 ? uncertainty.Value : Math.Abs(value) / 100;
        return size > 0 && double.IsFinite(size) ? Math.Clamp(1 - (int)Math.Floor(Math.Log10(size)), 0, MostDecimals) : 1;
    }

    /// <summary>The value; where there is none, what it does not exceed; else a dash.</summary>
    public static string Value(Reading reading) =>
        reading.Value is { } value ? Words.Number(value, Decimals(value, reading.Uncertainty))
        : reading.AtMost is { } most ? $"< {Words.Number(most, Decimals(most, null))}"
        : "–";

    /// <summary>The uncertainty; empty where there is none.</summary>
    public static string Uncertainty(Reading reading) =>
        reading is { Value: { } value, Uncertainty: { } uncertainty } ? Words.Number(uncertainty, Decimals(value, uncertainty)) : "";
}
