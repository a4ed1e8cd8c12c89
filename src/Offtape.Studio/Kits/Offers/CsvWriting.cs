using System.Buffers;
using System.Text;

namespace Offtape.Studio;

/// <summary>
/// Writes tables that a spreadsheet shows and does not run: a text that would begin a formula (=, +, −, @, a tab or a line break in front) gets
/// an apostrophe before it. Common practice, no source. Numbers are written as numbers.
/// </summary>
public static class CsvWriting
{
    private static readonly SearchValues<char> _special = SearchValues.Create("\",;\r\n\t|");

    public static string Row(params IReadOnlyList<object?> cells)
    {
        var text = new StringBuilder();
        for (var i = 0; i < cells.Count; i++)
            text.Append(i > 0 ? "," : "").Append(Cell(cells[i]));
        return text.Append("\r\n").ToString();
    }

    private static string Cell(object? value) =>
        value switch
        {
            null => "",
            decimal or int or long or double => $"{value}",
            _ => Quoted(Harmless(value.ToString() ?? "")),
        };

    private static string Harmless(string text) =>
        text.Length > 0 && text[0] is '=' or '+' or '-' or '@' or '\t' or '\r' or '\n' ? "'" + text : text;

    private static string Quoted(string text) =>
        text.AsSpan().ContainsAny(_special) ? $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : text;
}
