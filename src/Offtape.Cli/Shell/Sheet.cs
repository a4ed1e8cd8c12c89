using System.Text;
using Offtape.Report;

namespace Offtape.Cli.Shell;

/// <summary>A page of text in the making: sentences, and tables ruled like a printed track sheet.</summary>
internal sealed class Sheet(Ink ink)
{
    private const int TextWidth = 80;
    private readonly StringBuilder _text = new();

    public Ink Ink => ink;

    public Sheet Line(string text = "")
    {
        _text.Append(text).Append('\n');
        return this;
    }

    /// <summary>
    /// A text that goes over several lines where it is long. The lead (spaces, a number) stands before it; lines after the first begin
    /// under the first one's words.
    /// </summary>
    public Sheet Paragraph(string text, string lead = "", Func<string, string>? paint = null)
    {
        var lines = TextWrap.Lines(text, TextWidth - lead.Length);
        for (var i = 0; i < lines.Count; i++)
            Line((i == 0 ? lead : new string(' ', lead.Length)) + (paint is null ? lines[i] : paint(lines[i])));
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

    /// <summary>A table of the report model.</summary>
    public Sheet Table(ReportTable table) =>
        Table(
            [.. table.Columns.Select(c => c.IsFigures ? ">" + c.Name : c.Name)],
            table.Rows.Select(r => (string[])[.. r.Select(c => c.Text)])
        );

    public override string ToString() => _text.ToString();

    private static string Row(IReadOnlyList<string> cells, int[] widths, bool[] right) =>
        ("  " + string.Join("   ", cells.Select((c, i) => right[i] ? c.PadLeft(widths[i]) : c.PadRight(widths[i])))).TrimEnd();
}
