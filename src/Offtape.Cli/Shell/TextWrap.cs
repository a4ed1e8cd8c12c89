using System.Text;

namespace Offtape.Cli.Shell;

/// <summary>Breaks text at its spaces.</summary>
internal static class TextWrap
{
    private static readonly string[] Units =
    [
        "%",
        "s",
        "ms",
        "min",
        "m",
        "mm",
        "cm/s",
        "Hz",
        "dB",
        "dBFS",
        "dBTP",
        "LUFS",
        "LU",
        "cents",
        "MB",
        "GB",
    ];

    /// <summary>Lines of at most so many characters; a longer word stands alone on its line.</summary>
    public static IReadOnlyList<string> Lines(string text, int width)
    {
        var lines = new List<string>();
        var line = new StringBuilder();
        foreach (var word in Pieces(text))
        {
            if (line.Length > 0 && line.Length + 1 + word.Length > width)
            {
                lines.Add(line.ToString());
                line.Clear();
            }
            line.Append(line.Length > 0 ? " " : "").Append(word);
        }
        lines.Add(line.ToString());
        return lines;
    }

    // A number is not parted from its unit.
    private static IEnumerable<string> Pieces(string text)
    {
        var words = text.Split(' ');
        for (var i = 0; i < words.Length; i++)
        {
            var piece = words[i];
            while (
                i + 1 < words.Length
                && piece.Length > 0
                && char.IsAsciiDigit(piece[^1])
                && Units.Contains(words[i + 1].TrimEnd('.', ',', ':', ';'))
            )
                piece += " " + words[++i];
            yield return piece;
        }
    }
}
