using System.Text;
using Offtape.Base;

namespace Offtape.Report;

/// <summary>Numbers with their units as they are printed: a true minus, long fractions in groups of three, a thin space before the unit.</summary>
public static class Quantity
{
    /// <summary>A number with its unit: <c>−52.3 dBFS</c>.</summary>
    public static string Of(double value, int decimals, string unit = "") => WithUnit(Grouped(Words.Number(value, decimals)), unit);

    /// <summary>A difference with its unit: <c>+0.31 %</c>.</summary>
    public static string Signed(double value, int decimals, string unit = "") => WithUnit(Grouped(Words.Signed(value, decimals)), unit);

    /// <summary>Minutes, seconds and decimals: <c>0:08.312 447</c>.</summary>
    /// <param name="seconds">Any finite time; negative times carry a true minus.</param>
    /// <param name="decimals">Decimals of a second, 0 to 9.</param>
    public static string Clock(double seconds, int decimals)
    {
        if (!double.IsFinite(seconds))
            return Words.Number(seconds, 0);
        // Rounded before it is split, so that 59.9996 never reads 0:60.000. Decimal holds 28 digits: no binary fraction shows.
        var rounded = Math.Round((decimal)Math.Abs(seconds), decimals, MidpointRounding.AwayFromZero);
        var minutes = (long)(rounded / 60);
        var rest = (rounded - minutes * 60m).ToString((decimals > 0 ? "00." : "00") + new string('0', decimals));
        var sign = seconds < 0 && rounded > 0 ? Words.Minus.ToString() : "";
        var head = minutes >= 60 ? $"{minutes / 60}:{minutes % 60:00}" : $"{minutes}";
        return Grouped($"{sign}{head}:{rest}");
    }

    private static string WithUnit(string number, string unit) => unit.Length == 0 ? number : number + Words.ThinSpace + unit;

    /// <summary>Sets thin spaces: in fractions longer than four digits from the point on, in whole parts longer than four from it back.</summary>
    internal static string Grouped(string number)
    {
        var point = number.IndexOf('.');
        var end = point < 0 ? number.Length : point;
        var start = end;
        while (start > 0 && char.IsAsciiDigit(number[start - 1]))
            start--;
        var text = new StringBuilder(number, 0, start, number.Length + 8);
        for (var i = start; i < end; i++)
        {
            if (end - start > 4 && i > start && (end - i) % 3 == 0)
                text.Append(Words.ThinSpace);
            text.Append(number[i]);
        }
        if (point < 0)
            return text.ToString();
        text.Append('.');
        for (var i = point + 1; i < number.Length; i++)
        {
            if (number.Length - point - 1 > 4 && i > point + 1 && (i - point - 1) % 3 == 0)
                text.Append(Words.ThinSpace);
            text.Append(number[i]);
        }
        return text.ToString();
    }
}
