using System.Text;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>A cell of a table, with where it stands for messages.</summary>
/// <param name="Text">What is in it, without quotes.</param>
/// <param name="Row">The line of the file that the row begins on, from 1.</param>
/// <param name="Column">Which cell of the row, from 1.</param>
internal readonly record struct CsvCell(string Text, int Row, int Column);

/// <summary>
/// Reads tables of separated values (RFC 4180) row by row and never guesses: text is UTF-8, or UTF-16 with its mark; the separator is the one
/// that the first row shows; whatever is broken is a fault that names row, column and what to do. Nothing of the file is kept.
/// </summary>
internal sealed class CsvText(Stream stream, string path)
{
    public const int MostRows = 100_000;
    public const int MostColumns = 200;
    public const int MostCharacters = 20_000;

    private static readonly char[] Separators = [';', ',', '\t', '|'];

    /// <summary>The separator of the first row; known once that was read.</summary>
    public char Separator { get; private set; } = ',';

    /// <summary>Every row that is not empty.</summary>
    /// <param name="mostRows">More than these are a fault.</param>
    /// <exception cref="Fault">Input.</exception>
    public IEnumerable<IReadOnlyList<CsvCell>> Rows(int mostRows = MostRows)
    {
        var reader = new StrictReader(stream, path, () => Separator);
        Separator = SeparatorOf(reader.PeekLine());
        var count = 0;
        while (Row(reader) is { } row)
        {
            if (row is [{ Text.Length: 0 }])
                continue;
            if (++count > mostRows + 1)
                throw Fault.Input(
                    path,
                    $"row {row[0].Row}: it has more than {mostRows} rows",
                    null,
                    "Keep only the offers worth looking at."
                );
            yield return row;
        }
    }

    /// <summary>The separator that splits the first row into most cells; a comma where none does.</summary>
    private static char SeparatorOf(string header)
    {
        var counts = Separators.Select(s => (Separator: s, Count: Outside(header, s))).ToArray();
        var best = counts.MaxBy(c => c.Count);
        return best.Count > 0 ? best.Separator : ',';
    }

    private static int Outside(string line, char separator)
    {
        var (count, isQuoted) = (0, false);
        foreach (var character in line)
        {
            if (character == '"')
                isQuoted = !isQuoted;
            else if (character == separator && !isQuoted)
                count++;
        }
        return count;
    }

    private List<CsvCell>? Row(StrictReader reader)
    {
        if (reader.Peek() < 0)
            return null;
        var row = new List<CsvCell>();
        var startLine = reader.Line;
        while (true)
        {
            if (row.Count == MostColumns)
                throw Fault.Input(path, $"row {startLine}: it has more than {MostColumns} columns", null, "Check the separator.");
            var (text, isLast) = Cell(reader, startLine, row.Count + 1);
            row.Add(new CsvCell(text, startLine, row.Count + 1));
            if (isLast)
                return row;
        }
    }

    private (string Text, bool IsLast) Cell(StrictReader reader, int row, int column)
    {
        var text = new StringBuilder();
        if (reader.Peek() == '"')
        {
            reader.Read();
            Quoted(reader, text, row, column);
        }
        while (true)
        {
            var next = reader.Read();
            if (next < 0 || next == '\n')
                return (text.ToString(), true);
            if (next == '\r')
            {
                if (reader.Peek() == '\n')
                    reader.Read();
                return (text.ToString(), true);
            }
            if (next == Separator)
                return (text.ToString(), false);
            if (next == '"')
                throw Broken(
                    row,
                    column,
                    "a quotation mark stands inside a cell that does not begin with one",
                    "Put the whole cell in quotation marks, and double those inside it."
                );
            if (next == 0)
                throw Broken(row, column, "there is a zero byte", "It is not a table of text; save it as CSV.");
            text.Append((char)next);
            Limit(text, row, column);
        }
    }

    private void Quoted(StrictReader reader, StringBuilder text, int row, int column)
    {
        while (true)
        {
            var next = reader.Read();
            if (next < 0)
                throw Broken(row, column, "a quotation mark is opened and never closed", "Close it, or leave it out.");
            if (next != '"')
            {
                text.Append((char)next);
                Limit(text, row, column);
                continue;
            }
            if (reader.Peek() == '"')
            {
                text.Append((char)reader.Read());
                continue;
            }
            var after = reader.Peek();
            if (after >= 0 && after != Separator && after is not ('\r' or '\n'))
                throw Broken(
                    row,
                    column,
                    "something stands behind the closing quotation mark",
                    "Double the quotation marks inside the cell."
                );
            return;
        }
    }

    private void Limit(StringBuilder text, int row, int column)
    {
        if (text.Length > MostCharacters)
            throw Broken(row, column, $"the cell has more than {MostCharacters} characters", "A quotation mark is probably missing.");
    }

    private Fault Broken(int row, int column, string what, string advice) =>
        Fault.Input(path, $"row {row}, column {column}: {what}", null, advice);
}
