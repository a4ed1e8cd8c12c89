using System.Text;

namespace Offtape.Cli.Shell;

/// <summary>Breaks text at its spaces.</summary>
internal static class TextWrap
{
    /// <summary>Lines of at most so many characters; a longer word stands alone on its line.</summary>
    public static IReadOnlyList<string> Lines(string text, int width)
    {
        var lines = new List<string>();
        var line = new StringBuilder();
        foreach (var word in text.Split(' '))
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
}
