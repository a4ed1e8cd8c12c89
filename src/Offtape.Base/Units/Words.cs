using System.Text;

namespace Offtape.Base;

/// <summary>Numbers and times in words, the same everywhere: a true minus sign, a thin space in long fractions, −∞ for silence.</summary>
public static class Words
{
    public const char Minus = '\u2212';
    public const char ThinSpace = '\u2009';

    /// <summary>A number with a fixed count of decimals and a true minus sign; a value that rounds to zero carries no sign.</summary>
    public static string Number(double value, int decimals)
    {
        if (double.IsNaN(value))
            return "not known";
        if (double.IsInfinity(value))
            return value > 0 ? "∞" : Minus + "∞";
        var text = Math.Abs(value).ToString("F" + decimals);
        var isZero = text.All(c => c is '0' or '.');
        return value < 0 && !isZero ? Minus + text : text;
    }

    /// <summary>As <see cref="Number"/>, with a plus sign where the value is above zero.</summary>
    public static string Signed(double value, int decimals)
    {
        var text = Number(value, decimals);
        return value > 0 && text.Any(c => c is >= '1' and <= '9') ? "+" + text : text;
    }

    /// <summary>Minutes, seconds and thousandths: <c>1:02.345</c>.</summary>
    public static string Clock(double seconds)
    {
        if (!double.IsFinite(seconds))
            return Number(seconds, 0);
        var milliseconds = (long)Math.Round(Math.Abs(seconds) * 1000, MidpointRounding.AwayFromZero);
        var sign = seconds < 0 && milliseconds > 0 ? Minus.ToString() : "";
        var (minutes, rest) = (milliseconds / 60_000, milliseconds % 60_000);
        return minutes >= 60
            ? $"{sign}{minutes / 60}:{minutes % 60:00}:{rest / 1000:00}.{rest % 1000:000}"
            : $"{sign}{minutes}:{rest / 1000:00}.{rest % 1000:000}";
    }

    /// <summary>Minutes and seconds: <c>1:02</c>. By hand, tape is not placed more finely.</summary>
    public static string ClockToSecond(double seconds) => Clock(Math.Round(seconds)).Split('.')[0];

    /// <summary>A length of time as one says it: <c>48 s</c>, <c>3 min 20 s</c>.</summary>
    public static string Duration(double seconds)
    {
        var whole = (long)Math.Round(seconds, MidpointRounding.AwayFromZero);
        if (whole < 60)
            return seconds < 10 ? Number(seconds, 1) + " s" : whole + " s";
        return whole % 60 == 0 ? $"{whole / 60} min" : $"{whole / 60} min {whole % 60} s";
    }

    /// <summary>A moment as files have it, UTC to the second: <c>2026-05-31T12:00:00Z</c>.</summary>
    public static string Moment(DateTime moment) => moment.ToUniversalTime().ToString("yyyy-MM-dd'T'HH:mm:ss'Z'");

    /// <summary>A size in bytes as one says it: 312 MB, 4.2 GB (powers of ten).</summary>
    public static string ByteSize(long byteCount) =>
        byteCount switch
        {
            < 1_000 => $"{byteCount} bytes",
            < 1_000_000 => $"{byteCount / 1e3:0.#} kB",
            < 1_000_000_000 => $"{byteCount / 1e6:0.#} MB",
            _ => $"{byteCount / 1e9:0.##} GB",
        };

    /// <summary>"1 take", "2 takes".</summary>
    public static string Count(long count, string singular, string? plural = null) =>
        count == 1 ? $"1 {singular}" : $"{count} {plural ?? singular + "s"}";

    /// <summary>"a", "a and b", "a, b and c".</summary>
    public static string List(IReadOnlyList<string> items)
    {
        if (items.Count == 0)
            return "none";
        var text = new StringBuilder(items[0]);
        for (var i = 1; i < items.Count; i++)
            text.Append(i == items.Count - 1 ? " and " : ", ").Append(items[i]);
        return text.ToString();
    }
}
