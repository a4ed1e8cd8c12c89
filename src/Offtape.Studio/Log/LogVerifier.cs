using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Bench;
using Offtape.Passes;

namespace Offtape.Studio;

/// <summary>Reads every file of the log again, and looks for files that the log does not know.</summary>
public sealed class LogVerifier(StudioStore store)
{
    /// <param name="follow">Note where moved files lie now.</param>
    /// <param name="progress">Told by bytes.</param>
    /// <param name="cancellation">Stops it; nothing was changed then.</param>
    public VerifyReport Verify(bool follow, JobProgress progress, CancellationToken cancellation)
    {
        progress.Report("checking", 0, "checking the database");
        var faults = store.IntegrityFaults();
        var rows = store.Read(c =>
            c.Query<Row>(
                    "SELECT id AS Id, path AS Path, sha256 AS Sha256, byteCount AS ByteCount FROM files WHERE replacedAt IS NULL ORDER BY path"
                )
                .AsList()
        );
        var (missing, changed, unreadable) = (new List<Row>(), new List<string>(), new List<string>());
        double total = Math.Max(1, rows.Sum(r => r.ByteCount));
        double done = 0;
        foreach (var row in rows)
        {
            cancellation.ThrowIfCancellationRequested();
            progress.Report("reading", done / total, $"reading {Path.GetFileName(row.Path)}");
            done += row.ByteCount;
            var path = store.Paths.ToFull(row.Path);
            if (!File.Exists(path))
                missing.Add(row);
            else if (Digest(path, cancellation) is not { } digest)
                unreadable.Add(row.Path);
            else if (digest != row.Sha256)
                changed.Add(row.Path);
        }
        var unknown = Unknown([.. rows.Select(r => r.Path)], cancellation);
        var moved = Moved(missing, unknown, cancellation);
        if (follow && moved.Count > 0)
            store.Write(c => Follow(c, missing, moved));
        return new VerifyReport
        {
            CheckedCount = rows.Count,
            Missing = [.. missing.Select(r => r.Path).Where(p => moved.All(m => m.From != p))],
            Changed = changed,
            Unreadable = unreadable,
            Moved = moved,
            Unknown = [.. unknown.Where(u => moved.All(m => m.To != u))],
            DatabaseFaults = faults,
            IsFollowed = follow,
        };
    }

    private static string? Digest(string path, CancellationToken cancellation)
    {
        try
        {
            return FileDigest.Of(path, null, cancellation);
        }
        catch (Fault)
        {
            return null;
        }
    }

    private List<MovedFile> Moved(IReadOnlyList<Row> missing, IReadOnlyList<string> unknown, CancellationToken cancellation)
    {
        if (missing.Count == 0 || unknown.Count == 0)
            return [];
        var sizes = missing.Select(m => m.ByteCount).ToHashSet();
        var found = new List<MovedFile>();
        foreach (var path in unknown)
        {
            var full = store.Paths.ToFull(path);
            // Only what has the size of something that is missing is worth reading.
            if (!sizes.Contains(new FileInfo(full).Length) || Digest(full, cancellation) is not { } digest)
                continue;
            if (missing.FirstOrDefault(m => m.Sha256 == digest && found.All(f => f.From != m.Path)) is { } row)
                found.Add(new MovedFile(row.Path, path));
        }
        return found;
    }

    private static void Follow(SqliteConnection connection, IReadOnlyList<Row> missing, IReadOnlyList<MovedFile> moved)
    {
        foreach (var (from, to) in moved)
            connection.Execute("UPDATE files SET path = @to WHERE id = @id", new { to, id = missing.First(m => m.Path == from).Id });
    }

    /// <summary>Audio files and sheets in the studio folder that the log does not have, what the program keeps for itself apart.</summary>
    private List<string> Unknown(HashSet<string> known, CancellationToken cancellation)
    {
        var found = new List<string>();
        foreach (var path in StudioFiles.Of(store.Folder))
        {
            cancellation.ThrowIfCancellationRequested();
            var stored = store.Paths.ToStored(path);
            if (!known.Contains(stored) && (AudioFile.IsAudioName(path) || IsSheet(path)))
                found.Add(stored);
        }
        return found;
    }

    private static bool IsSheet(string path) =>
        Path.GetFileName(path) is PassSheet.FileName or ReturnSheet.FileName or BenchReport.FileName;

    private sealed record Row
    {
        public long Id { get; init; }
        public string Path { get; init; } = "";
        public string Sha256 { get; init; } = "";
        public long ByteCount { get; init; }
    }
}
