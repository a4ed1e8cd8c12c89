using System.Globalization;
using Offtape.Base;
using Offtape.Passes;

namespace Offtape.Web.Taping;

/// <summary>Lengths of time as one types them: <c>3:20</c>, <c>1:02:03.5</c>, <c>95</c>, <c>95 s</c>, <c>2.5 min</c>.</summary>
internal static class TypedTime
{
    /// <summary>A day: no side of a tape is longer.</summary>
    public const double MostSeconds = SheetRun.MostStartSeconds;

    private const string How = "Write minutes and seconds as 3:20, seconds as 95, or 2.5 min.";

    /// <summary>In seconds, from 0 to <see cref="MostSeconds"/>.</summary>
    /// <exception cref="Fault">Usage: nobody understands it.</exception>
    public static double Parse(string text) => TryParse(text) ?? throw Fault.Usage($"\"{text.Trim()}\" is no length of time", How);

    /// <summary>Null where it is not understood.</summary>
    public static double? TryParse(string text)
    {
        text = text.Trim().ToLowerInvariant().Replace(',', '.');
        var factor = 1.0;
        if (text.EndsWith("min", StringComparison.Ordinal))
            (text, factor) = (text[..^3].TrimEnd(), 60);
        else if (text.EndsWith('s'))
            text = text[..^1].TrimEnd();
        var parts = text.Split(':');
        if (parts.Length > 3 || parts.Length > 1 && factor != 1)
            return null;
        var seconds = 0.0;
        for (var i = 0; i < parts.Length; i++)
        {
            // Only the last may have a fraction, and what follows a colon is less than sixty.
            var style = i == parts.Length - 1 ? NumberStyles.AllowDecimalPoint : NumberStyles.None;
            if (!double.TryParse(parts[i], style, CultureInfo.InvariantCulture, out var part) || i > 0 && part >= 60)
                return null;
            seconds = seconds * 60 + part;
        }
        seconds *= factor;
        return double.IsFinite(seconds) && seconds <= MostSeconds ? seconds : null;
    }

    /// <summary>Sounds one a line, each its name and how long it is, as <c>bowed glass 3:20</c>; a line without a name is named by its number.</summary>
    /// <exception cref="Fault">Usage: which line nobody understands.</exception>
    public static IReadOnlyList<(string Name, double Seconds)> Lines(string text)
    {
        var sounds = new List<(string, double)>();
        foreach (var (line, i) in text.Split('\n').Select((l, i) => (l.Trim(), i)))
        {
            if (line.Length == 0)
                continue;
            var (name, seconds) = Line(line);
            if (seconds is not > 0)
                throw Fault.Usage($"Line {i + 1}, \"{line}\", ends with no length of time", How);
            sounds.Add((name.Length > 0 ? name : $"sound {sounds.Count + 1}", seconds.Value));
        }
        return sounds;
    }

    // "2.5 min" and "95 s" are two words: the longer end that is understood counts.
    private static (string Name, double? Seconds) Line(string line)
    {
        var words = line.Split([' ', '\t'], StringSplitOptions.RemoveEmptyEntries);
        for (var taken = Math.Min(2, words.Length); taken > 0; taken--)
        {
            if (TryParse(string.Join(' ', words[^taken..])) is { } seconds)
                return (string.Join(' ', words[..^taken]).TrimEnd(':', ',', ';', '=', ' '), seconds);
        }
        return (line, null);
    }
}
