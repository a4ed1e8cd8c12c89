using System.Text;

namespace Offtape.Cli.Shell;

/// <summary>A page of text in the making: sentences, and tables ruled like a printed track sheet.</summary>
internal sealed class Sheet(Ink ink)
{
    private readonly StringBuilder _text = new();

    public Ink Ink => ink;

    public Sheet Line(string text = "")
    {
        _text.Append(text).Append('\n');
        return this;
    }

    /// <summary>Columns under their names; a column whose name begins with ">" is set flush right, as numbers are. Without any name there is no
    /// head.</summary>
    public Sheet Table(IReadOnlyList<string> columns, IEnumerable<IReadOnlyList<string>> rows)
    {
        var all = rows.ToArray();
        var right = columns.Select(c => c.StartsWith('>')).ToArray();
        var names = columns.Select(c => c.TrimStart('>')).ToArray();
        var widths = names.Select((n, i) => all.Select(r => r[i].Length).Append(n.Length).Max()).ToArray();
        if (names.Any(n => n.Length > 0))
        {
            Line(ink.Soft(Row(names, widths, right)));
            Line(ink.Soft("  " + new string('─', widths.Sum() + 3 * (widths.Length - 1))));
        }
        foreach (var row in all)
            Line(Row(row, widths, right));
        return this;
    }

    public override string ToString() => _text.ToString();

    private static string Row(IReadOnlyList<string> cells, int[] widths, bool[] right) =>
        ("  " + string.Join("   ", cells.Select((c, i) => right[i] ? c.PadLeft(widths[i]) : c.PadRight(widths[i])))).TrimEnd();
}
