using Offtape.Base;

namespace Offtape.Studio;

/// <summary>
/// Reads offers out of a table. All of it is read before any of it is given back: a fault anywhere, with its row and column, and there are no
/// offers. docs/kit-and-patch.md describes the columns.
/// </summary>
public static class OfferTable
{
    /// <summary>The columns, in the order of the template.</summary>
    public static IReadOnlyList<string> Columns { get; } =
    [
        "title",
        "kind",
        "features",
        "sockets",
        "mains_voltage",
        "mains_frequency",
        "price",
        "shipping",
        "condition",
        "notes",
        "part",
        "count",
    ];

    private static readonly string[] _needed = ["title", "kind", "price"];

    /// <param name="path">A CSV file.</param>
    /// <param name="parts">The parts that offers may name.</param>
    /// <param name="notices">Receives what was left unused.</param>
    /// <exception cref="Fault">Input.</exception>
    public static IReadOnlyList<Offer> Read(string path, IReadOnlyList<PartType> parts, ICollection<Notice> notices)
    {
        try
        {
            using var stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read);
            return Read(stream, path, parts, notices);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromInputError(path, error);
        }
    }

    /// <inheritdoc cref="Read(string, IReadOnlyList{PartType}, ICollection{Notice})"/>
    /// <param name="stream">The table.</param>
    /// <param name="path">Its name, for faults.</param>
    /// <param name="parts">The parts that offers may name.</param>
    /// <param name="notices">Receives what was left unused.</param>
    public static IReadOnlyList<Offer> Read(Stream stream, string path, IReadOnlyList<PartType> parts, ICollection<Notice> notices)
    {
        var table = new CsvText(stream, path);
        int[]? places = null;
        var offers = new List<Offer>();
        foreach (var row in table.Rows())
        {
            if (places is null)
            {
                places = Places(row, path, notices);
                continue;
            }
            Straight(row, places, path);
            offers.Add(Offer(row, places, path, parts));
        }
        if (places is null)
            throw Fault.Input(path, "row 1: it is empty", null, "offtape kit template writes a table to begin with.");
        return offers;
    }

    /// <summary>One offer as it is typed: <c>title=...; kind=...; price=...</c>, column = value.</summary>
    /// <exception cref="Fault">Usage.</exception>
    public static Offer Typed(string text, IReadOnlyList<PartType> parts)
    {
        var cells = new Dictionary<string, string>();
        // A semicolon inside sockets is written as +.
        foreach (var piece in text.Split(';', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
        {
            var equals = piece.IndexOf('=');
            var column = equals < 0 ? piece : piece[..equals].Trim().ToLowerInvariant();
            if (equals < 0 || !Columns.Contains(column))
                throw Fault.Usage($"--offer has no column \"{column}\"", $"Write column=value; ... with {string.Join(", ", Columns)}.");
            cells[column] = piece[(equals + 1)..].Trim();
        }
        foreach (var needed in _needed)
            if (!cells.ContainsKey(needed))
                throw Fault.Usage($"--offer needs {needed}=", "An offer has at least title, kind and price.");
        try
        {
            return OfferCells.Read(
                0,
                parts,
                column => cells.GetValueOrDefault(column, "").Replace('+', column == "sockets" ? ';' : '+'),
                (_, error) => error
            );
        }
        catch (FormatException error)
        {
            throw Fault.Usage($"--offer \"{cells["title"]}\": {error.Message}");
        }
    }

    // For each column its place in the row; −1 where the table lacks it.
    private static int[] Places(IReadOnlyList<CsvCell> header, string path, ICollection<Notice> notices)
    {
        var names = header.Select(c => c.Text.Trim().Trim('\uFEFF').ToLowerInvariant().Replace(' ', '_')).ToArray();
        for (var i = 0; i < names.Length; i++)
        {
            if (names[i].Length > 0 && Array.IndexOf(names, names[i]) < i)
                throw Fault.Input(
                    path,
                    $"row {header[i].Row}, column {i + 1}: there is a second column \"{names[i]}\"",
                    null,
                    "Leave one of them out."
                );
            if (names[i].Length > 0 && !Columns.Contains(names[i]))
                notices.Add(
                    new Notice(
                        "unused-column",
                        $"{Path.GetFileName(path)}: column \"{names[i]}\" is not used; the columns are {string.Join(", ", Columns)}."
                    )
                );
        }
        foreach (var needed in _needed)
            if (!names.Contains(needed))
                throw Fault.Input(
                    path,
                    $"row {header[0].Row}, column {header.Count}: there is no column \"{needed}\" in the first row",
                    null,
                    "offtape kit template writes a table with all columns."
                );
        return [.. Columns.Select(c => Array.IndexOf(names, c))];
    }

    private static void Straight(IReadOnlyList<CsvCell> row, int[] places, string path)
    {
        var wanted = places.Max() + 1;
        if (row.Count < wanted)
            throw Fault.Input(
                path,
                $"row {row[0].Row}, column {row.Count}: the row has {Words.Count(row.Count, "cell")}, and the first row has at least {wanted}",
                null,
                "A separator is missing, or a line was broken."
            );
        foreach (var cell in row.Skip(wanted))
            if (cell.Text.Trim().Length > 0 && cell.Column > Math.Max(wanted, Columns.Count))
                throw Fault.Input(
                    path,
                    $"row {cell.Row}, column {cell.Column}: the row has more cells than there are columns",
                    null,
                    "Put cells that hold the separator in quotation marks."
                );
    }

    private static Offer Offer(IReadOnlyList<CsvCell> row, int[] places, string path, IReadOnlyList<PartType> parts) =>
        OfferCells.Read(
            row[0].Row,
            parts,
            column => places[Place(column)] is >= 0 and var at ? row[at].Text.Trim() : "",
            (column, error) =>
                Fault.Input(
                    path,
                    places[Place(column)] is >= 0 and var at
                        ? $"row {row[at].Row}, column {at + 1} ({column}): {error.Message}"
                        : $"row {row[0].Row}, column {row.Count}: {error.Message}, and there is no column {column}",
                    null,
                    "Nothing of the table was taken.",
                    error
                )
        );

    private static int Place(string column)
    {
        for (var i = 0; i < Columns.Count; i++)
            if (Columns[i] == column)
                return i;
        throw new ArgumentException($"There is no column {column}.");
    }
}
