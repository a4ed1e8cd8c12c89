using Offtape.Testing;

namespace Offtape.Architecture.Tests.Documents;

/// <summary>Reads the tables of a document, row by row, cell by cell.</summary>
internal static class MarkdownTable
{
    public static IReadOnlyList<string[]> Rows(string document, params string[] columns)
    {
        var rows = new List<string[]>();
        var inside = false;
        foreach (var line in File.ReadAllLines(Path.Combine(RepositoryRoot.Find(), document)))
        {
            if (!line.StartsWith('|'))
            {
                inside = false;
                continue;
            }
            var cells = line.Trim().Trim('|').Split('|').Select(c => c.Trim()).ToArray();
            if (cells.SequenceEqual(columns))
                inside = true;
            else if (inside && !cells.All(c => c.All(x => x is '-' or ':')))
                rows.Add(cells);
        }
        return rows;
    }
}
