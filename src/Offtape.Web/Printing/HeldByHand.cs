using System.Globalization;

namespace Offtape.Web.Printing;

/// <summary>Where a sound begins in a recording, as the user said it.</summary>
/// <param name="Source">File name of the sound.</param>
/// <param name="Capture">File name of the recording.</param>
/// <param name="Seconds">Where in it the sound's first frame is heard.</param>
public sealed record HeldByHand(string Source, string Capture, double Seconds)
{
    /// <summary>Reads 1:02.345, 62.345 or 1:01:02; spaces of any kind are passed over. Null: it is none of these.</summary>
    public static double? Parse(string text)
    {
        var parts = string.Concat(text.Where(c => !char.IsWhiteSpace(c))).Split(':');
        if (parts.Length > 3)
            return null;
        var seconds = 0.0;
        foreach (var (part, i) in parts.Select((p, i) => (p, i)))
        {
            var style = i == parts.Length - 1 ? NumberStyles.AllowDecimalPoint : NumberStyles.None;
            if (!double.TryParse(part, style, CultureInfo.InvariantCulture, out var value) || (i > 0 && value >= 60))
                return null;
            seconds = 60 * seconds + value;
        }
        return seconds < 1e6 ? seconds : null;
    }
}
