namespace Offtape.Signal.Tests;

/// <summary>Reads the small tables that a script under tools/reference/ computed with another library; the first lines name script and version.</summary>
internal static class Reference
{
    /// <summary>One column of a table; empty cells are left out.</summary>
    public static double[] Column(string file, string name)
    {
        var lines = File.ReadLines(Path.Combine(AppContext.BaseDirectory, "Fixtures", file)).Where(line => !line.StartsWith('#')).ToArray();
        var column = Array.IndexOf(lines[0].Split(','), name);
        if (column < 0)
            throw new InvalidOperationException($"{file} has no column {name}.");
        return [.. lines.Skip(1).Select(line => line.Split(',')[column]).Where(cell => cell.Length > 0).Select(double.Parse)];
    }
}
