using System.Text.Json;
using Dapper;
using Offtape.Base;
using Offtape.Studio.Tests.Store;
using Offtape.Studio.Writer;

namespace Offtape.Studio.Tests.Log;

/// <summary>Reading everything again tells what happened to each file; what is exported is all there is, and runs nowhere as a formula.</summary>
public sealed class VerifyAndExportTests
{
    [Fact]
    public void Each_file_is_told_by_what_happened_to_it()
    {
        using var studio = new TemporaryStudio();
        using var store = studio.Open();
        foreach (var name in new[] { "same", "gone", "other", "moved" })
        {
            Directory.CreateDirectory(studio["captures"]);
            File.WriteAllText(studio[$"captures/{name}.wav"], $"sound of {name}");
            store.Write(c =>
                new FileBook(c, store.Paths, "2026-01-01T00:00:00Z").Put(
                    FileFacts.Of(studio[$"captures/{name}.wav"], FileKind.Capture, CancellationToken.None)
                )
            );
        }
        Assert.True(Verify(store).IsFine);
        File.Delete(studio["captures/gone.wav"]);
        File.WriteAllText(studio["captures/other.wav"], "sound of oTher");
        Directory.CreateDirectory(studio["elsewhere"]);
        File.Move(studio["captures/moved.wav"], studio["elsewhere/renamed.wav"]);
        File.WriteAllText(studio["new.wav"], "never seen");
        File.WriteAllText(studio["notes.txt"], "no sound, no sheet");
        var report = Verify(store);
        Assert.False(report.IsFine);
        Assert.Equal(["captures/gone.wav"], report.Missing);
        Assert.Equal(["captures/other.wav"], report.Changed);
        Assert.Equal([new MovedFile("captures/moved.wav", "elsewhere/renamed.wav")], report.Moved);
        Assert.Equal(["new.wav"], report.Unknown);
        Assert.Equal(4, report.CheckedCount);
        new LogVerifier(store).Verify(follow: true, JobProgress.None, CancellationToken.None);
        Assert.Empty(Verify(store).Moved);
        Assert.DoesNotContain("elsewhere/renamed.wav", Verify(store).Unknown);
    }

    [Fact]
    public void A_file_that_was_replaced_is_known_by_both_contents()
    {
        using var studio = new TemporaryStudio();
        using var store = studio.Open();
        var path = studio["take.wav"];
        foreach (var text in new[] { "first", "second", "first" })
        {
            File.WriteAllText(path, text);
            store.Write(c =>
                new FileBook(c, store.Paths, "2026-01-01T00:00:00Z").Put(FileFacts.Of(path, FileKind.Take, CancellationToken.None))
            );
            Assert.True(Verify(store).IsFine);
        }
        Assert.Equal(2, store.Read(c => c.ExecuteScalar<long>("SELECT count(*) FROM files")));
        Assert.Equal(1, store.Read(c => c.ExecuteScalar<long>("SELECT count(*) FROM files WHERE replacedAt IS NULL")));
    }

    [Fact]
    public void Everything_is_exported_and_nothing_runs_as_a_formula()
    {
        using var studio = new TemporaryStudio();
        using var store = studio.Open();
        new InventedPasses(21).Fill(store, 30);
        string[] dangerous = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1"];
        store.Write(c =>
        {
            for (var i = 0; i < dangerous.Length; i++)
                c.Execute("UPDATE passes SET note = @note, inputLevel = '-6' WHERE id = @id", new { note = dangerous[i], id = i + 1 });
        });
        new LogExport(store).Write(studio["export"], json: true, csv: true, replace: false);
        // Every table there is, but the index of names and the list of migrations.
        var tables = store.Read(c =>
            c.Query<string>("SELECT name FROM sqlite_schema WHERE type = 'table'")
                .Where(n => !n.StartsWith("sourceNameText", StringComparison.Ordinal) && n is not ("SchemaVersions" or "sqlite_sequence"))
                .Order(StringComparer.Ordinal)
                .ToArray()
        );
        using var json = JsonDocument.Parse(File.ReadAllText(studio["export/studio.json"]));
        var exported = json.RootElement.GetProperty("tables");
        Assert.Equal(tables, exported.EnumerateObject().Select(t => t.Name));
        foreach (var table in exported.EnumerateObject())
            Assert.Equal(store.Read(c => c.ExecuteScalar<int>($"SELECT count(*) FROM {table.Name}")), table.Value.GetArrayLength());
        // In JSON a text is a text.
        Assert.Contains(exported.GetProperty("passes").EnumerateArray(), p => p.GetProperty("note").GetString() == "=1+1");
        var cells = Directory.GetFiles(studio["export"], "*.csv", SearchOption.AllDirectories).SelectMany(Cells).ToArray();
        Assert.Contains("'=1+1", cells);
        Assert.Contains("'-6", cells);
        Assert.All(
            cells.Where(c => c.Length > 0 && !double.TryParse(c, out _)),
            c => Assert.False(c[0] is '=' or '+' or '-' or '@' or '\t' or '\r', c)
        );
        Assert.Equal(31, File.ReadAllText(studio["export/log.csv"]).Split("\r\n").Count(l => l.Contains(',')));
        var fault = Assert.Throws<Fault>(() => new LogExport(store).Write(studio["export"], json: true, csv: false, replace: false));
        Assert.Equal(ExitCode.OutputUnwritable, fault.ExitCode);
    }

    private static VerifyReport Verify(StudioStore store) =>
        new LogVerifier(store).Verify(follow: false, JobProgress.None, CancellationToken.None);

    /// <summary>Cells of a CSV after RFC 4180.</summary>
    private static List<string> Cells(string path)
    {
        var text = File.ReadAllText(path);
        var (cells, cell, quoted) = (new List<string>(), new System.Text.StringBuilder(), false);
        for (var i = 0; i < text.Length; i++)
        {
            var c = text[i];
            if (quoted && c == '"' && i + 1 < text.Length && text[i + 1] == '"')
                cell.Append(text[++i]);
            else if (c == '"')
                quoted = !quoted;
            else if (!quoted && (c is ',' || (c == '\r' && i + 1 < text.Length && text[i + 1] == '\n')))
            {
                cells.Add(cell.ToString());
                cell.Clear();
                i += c == '\r' ? 1 : 0;
            }
            else
                cell.Append(c);
        }
        return cells;
    }
}
