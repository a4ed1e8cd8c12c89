namespace Offtape.Base;

/// <summary>Numbers in answers: as many decimals as say something, none that only fill up.</summary>
public static class Figures
{
    /// <summary>At most so many decimals, without trailing zeros, with a true minus sign.</summary>
    public static string Plain(double value, int mostDecimals = 3)
    {
        var text = Words.Number(value, mostDecimals);
        return text.Contains('.') ? text.TrimEnd('0').TrimEnd('.') : text;
    }

    /// <summary>As <see cref="Plain"/>, with a plus sign above zero.</summary>
    public static string Signed(double value, int mostDecimals = 3)
    {
        var text = Plain(value, mostDecimals);
        return value > 0 && text.Any(c => c is >= '1' and <= '9') ? "+" + text : text;
    }

    /// <summary>A tape speed in both units: <c>19.05 cm/s (7.5 in/s)</c>.</summary>
    public static string Speed(double cmPerSecond) =>
        $"{Plain(cmPerSecond, 4)} cm/s ({Plain(Conversions.CmToInches(cmPerSecond), 4)} in/s)";
}
