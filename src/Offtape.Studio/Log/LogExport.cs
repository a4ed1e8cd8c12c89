using System.Text.Json;
using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>
/// Writes all that the database holds as text: studio.json with every table, log.csv as a person would read it, and one CSV a table. Cells of a
/// CSV that would begin a formula are made harmless (<see cref="CsvWriting"/>).
/// </summary>
public sealed class LogExport(StudioStore store)
{
    public const string JsonName = "studio.json";
    public const string LogName = "log.csv";
    public const string TablesFolder = "tables";
    private const int FormatVersion = 1;

    private static readonly (string Name, Func<LoggedPass, object?> Of)[] LogColumns =
    [
        ("day", p => p.At[..10]),
        ("pass", p => p.PassId),
        ("machine", p => p.Machine),
        ("tape", p => p.Tape),
        ("side", p => p.Side),
        ("speedCmPerSecond", p => p.SpeedCmPerSecond),
        ("startCounter", p => p.StartCounter),
        ("startSeconds", p => p.StartSeconds),
        ("lengthSeconds", p => p.LengthSeconds),
        ("pitchPercent", p => p.PitchPercent),
        ("inputLevel", p => p.InputLevel),
        ("noiseReduction", p => p.NoiseReduction),
        ("tapeType", p => p.TapeType),
        ("levelDbfs", p => p.LevelDbfs),
        ("printRatio", p => p.PrintRatio),
        ("reversed", p => p.Reversed ? "yes" : "no"),
        ("sounds", p => string.Join(" | ", p.Sources)),
        ("returns", p => p.ReturnCount),
        ("sheet", p => p.Sheet),
        ("note", p => p.Note),
        ("tapeTracks", p => TrackList.ToStored(p.TapeTracks)),
    ];

    /// <param name="folder">Receives the files; made where it is missing.</param>
    /// <param name="json">Write studio.json.</param>
    /// <param name="csv">Write log.csv and tables/.</param>
    /// <param name="replace">Replace what exists.</param>
    /// <returns>Paths of what was written.</returns>
    /// <exception cref="Fault">Output: a file exists or cannot be written.</exception>
    public IReadOnlyList<string> Write(string folder, bool json, bool csv, bool replace)
    {
        // All of one moment, before the first file is begun.
        var (tables, passes) = store.Read(c => (Tables(c), csv ? LogSearch.Passes(c, new PassFilter { Limit = int.MaxValue }) : []));
        var files = new List<(string Path, Action<Stream> Write)>();
        if (json)
            files.Add((Path.Combine(folder, JsonName), s => WriteJson(s, tables)));
        if (csv)
        {
            files.Add((Path.Combine(folder, LogName), s => WriteRows(s, [.. LogColumns.Select(c => c.Name)], passes.Select(Row))));
            foreach (var table in tables)
                files.Add((Path.Combine(folder, TablesFolder, table.Name + ".csv"), s => WriteRows(s, table.Columns, table.Rows)));
        }
        foreach (var (path, _) in files)
            if (!replace && File.Exists(path))
                throw Fault.Output(path, "it exists already", "Choose another folder with --to, or replace it with --force.");
        try
        {
            Directory.CreateDirectory(csv ? Path.Combine(folder, TablesFolder) : folder);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(folder, error);
        }
        foreach (var (path, write) in files)
            SafeFile.Write(path, replace, write);
        return [.. files.Select(f => f.Path)];
    }

    private static object?[] Row(LoggedPass pass) => [.. LogColumns.Select(c => c.Of(pass))];

    private static List<Table> Tables(SqliteConnection connection)
    {
        // The index of names is made from the names; the list of migrations is the program's own.
        var names = connection.Query<string>(
            """
            SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND name NOT LIKE 'sourceNameText%' AND name <> 'SchemaVersions'
            ORDER BY name
            """
        );
        var tables = new List<Table>();
        foreach (var name in names.AsList())
        {
            using var reader = connection.ExecuteReader($"SELECT * FROM \"{name}\" ORDER BY 1, 2");
            var columns = Enumerable.Range(0, reader.FieldCount).Select(reader.GetName).ToArray();
            var rows = new List<object?[]>();
            while (reader.Read())
                rows.Add([.. Enumerable.Range(0, columns.Length).Select(i => reader.IsDBNull(i) ? null : reader.GetValue(i))]);
            tables.Add(new Table(name, columns, rows));
        }
        return tables;
    }

    private static void WriteRows(Stream stream, IReadOnlyList<string> columns, IEnumerable<object?[]> rows)
    {
        using var writer = new StreamWriter(stream, leaveOpen: true);
        writer.Write(CsvWriting.Row([.. columns]));
        foreach (var row in rows)
            writer.Write(CsvWriting.Row(row));
    }

    private static void WriteJson(Stream stream, IReadOnlyList<Table> tables)
    {
        using var writer = new Utf8JsonWriter(
            stream,
            new JsonWriterOptions { Indented = true, Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping }
        );
        writer.WriteStartObject();
        writer.WriteNumber("formatVersion", FormatVersion);
        writer.WriteNumber("studioVersion", Migrations.NewestVersion);
        writer.WriteStartObject("tables");
        foreach (var table in tables)
        {
            writer.WriteStartArray(table.Name);
            foreach (var row in table.Rows)
            {
                writer.WriteStartObject();
                for (var i = 0; i < row.Length; i++)
                    WriteValue(writer, table.Columns[i], row[i]);
                writer.WriteEndObject();
            }
            writer.WriteEndArray();
        }
        writer.WriteEndObject();
        writer.WriteEndObject();
    }

    private static void WriteValue(Utf8JsonWriter writer, string name, object? value)
    {
        switch (value)
        {
            case null:
                writer.WriteNull(name);
                break;
            case long whole:
                writer.WriteNumber(name, whole);
                break;
            case double number when double.IsFinite(number):
                writer.WriteNumber(name, number);
                break;
            case double:
                writer.WriteNull(name);
                break;
            default:
                writer.WriteString(name, value.ToString());
                break;
        }
    }

    private sealed record Table(string Name, IReadOnlyList<string> Columns, IReadOnlyList<object?[]> Rows);
}
