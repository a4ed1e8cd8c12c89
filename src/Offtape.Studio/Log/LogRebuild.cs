using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Bench;
using Offtape.Passes;

namespace Offtape.Studio;

/// <summary>
/// Takes into the log what the files of the folder say: sends from pass.json, returns from return.json, benches from bench.json, takes from
/// what they say of themselves, and what was typed from the small files that keep it. What the log has already stays; running it again changes nothing.
/// </summary>
public sealed class LogRebuild(StudioStore store)
{
    /// <param name="progress">Told by files.</param>
    /// <param name="cancellation">Stops it; what is in the log by then stays.</param>
    public RebuildReport Run(JobProgress progress, CancellationToken cancellation)
    {
        var files = StudioFiles.Of(store.Folder).ToArray();
        var (notices, troubles) = (new List<Notice>(), new List<string>());
        var done = 0;
        int Each(string name, Func<string, IEnumerable<string>, IEnumerable<string>> order, Func<string, bool> put)
        {
            var count = 0;
            foreach (var path in order(name, files))
            {
                cancellation.ThrowIfCancellationRequested();
                progress.Report("reading", Math.Min(1, done++ / (double)Math.Max(1, files.Length)), $"reading {Path.GetFileName(path)}");
                try
                {
                    count += put(path) ? 1 : 0;
                }
                catch (Fault fault) when (fault.ExitCode == ExitCode.InputUnreadable)
                {
                    troubles.Add($"{store.Paths.ToStored(path)}: {fault.Message}");
                }
            }
            return count;
        }
        // What was typed of machines and tapes first, then passes before what was heard of them, each in the order in which they were made.
        Each(KeptNames.MachineEnding, Ending, path => store.Write(c => new KeptRestore(c).File(path)));
        Each(KeptNames.TapeEnding, Ending, path => store.Write(c => new KeptRestore(c).File(path)));
        var heard = Heard(files);
        var sends = Each(
            PassSheet.FileName,
            (name, all) => Named(name, all).OrderBy(MadeAt, StringComparer.Ordinal),
            path => PutSend(path, heard, notices, cancellation)
        );
        var returns = Each(
            ReturnSheet.FileName,
            (name, all) => Named(name, all).OrderBy(p => ReturnSheet.TryLoad(p)?.MadeAt, StringComparer.Ordinal),
            path => PutReturn(path, files, notices, cancellation)
        );
        var benches = Each(BenchReport.FileName, Named, path => PutBench(path, files, notices, cancellation));
        var takes = Each("", (_, all) => all.Where(AudioFile.IsAudioName), path => PutTake(path, cancellation));
        foreach (var folder in StudioFiles.ClosedJobs(store.Folder))
            PutJob(folder);
        return new RebuildReport(sends, returns, benches, takes, troubles, notices);
    }

    /// <summary>Puts a database aside, under its backups, so that a new one can be made. Nothing is done where there is none.</summary>
    /// <returns>Where it lies now; null: there was none.</returns>
    /// <exception cref="Fault">Output: it cannot be moved.</exception>
    public static string? PutAside(string studioFolder)
    {
        var path = Path.Combine(studioFolder, StudioStore.FileName);
        if (!File.Exists(path))
            return null;
        KeepTyped(studioFolder);
        var aside = Path.Combine(StudioBackups.FolderOf(studioFolder), $"put-aside-{DateTime.UtcNow:yyyyMMdd'T'HHmmssfff'Z'}.db");
        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(aside)!);
            // The database last: what belongs to its write-ahead log must not meet a new one.
            foreach (var ending in new[] { "-shm", "-wal", "" })
                if (File.Exists(path + ending))
                    File.Move(path + ending, aside + ending);
            return aside;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(path, error);
        }
    }

    /// <summary>Writes what the database of a folder has of typed things into files, as far as they are not there. One that is damaged is left.</summary>
    private static void KeepTyped(string studioFolder)
    {
        try
        {
            using var store = StudioStore.OpenExisting(studioFolder);
            store.Write(c =>
            {
                var kept = new KeptFiles(c, store.Paths);
                kept.KeepMissing();
                kept.KeepMissingPasses();
            });
        }
        catch (Fault) { }
    }

    private static IEnumerable<string> Named(string name, IEnumerable<string> files) => files.Where(f => Path.GetFileName(f) == name);

    private static IEnumerable<string> Ending(string ending, IEnumerable<string> files) =>
        files.Where(f => f.EndsWith(ending, StringComparison.Ordinal));

    /// <summary>Null where the sheet does not say it or cannot be read, which is told when it is to be taken in.</summary>
    private static string? MadeAt(string path)
    {
        try
        {
            return PassSheet.Load(path).MadeAt;
        }
        catch (Fault)
        {
            return null;
        }
    }

    /// <summary>Passes that some return heard.</summary>
    private static HashSet<string> Heard(IEnumerable<string> files) =>
        [
            .. Named(ReturnSheet.FileName, files)
                .SelectMany(f => ReturnSheet.TryLoad(f)?.Passes ?? [])
                .Select(p => p.PassId)
                .OfType<string>(),
        ];

    private bool PutSend(string path, HashSet<string> heard, List<Notice> notices, CancellationToken cancellation)
    {
        var passId = PassSheet.Load(path).PassId;
        if (store.Read(c => SendRecord.PassOf(c, passId)) is not null)
            return false;
        // Taken out of the log, and not heard since: it stays out.
        if (!heard.Contains(passId) && KeptFiles.NoteOf(store.Paths, path, passId)?.RemovedAt is not null)
            return false;
        var record = SendRecord.Of(path, isOld: true, cancellation);
        store.Write(c => record.Put(c, store.Paths, notices));
        return true;
    }

    private bool PutReturn(string path, IReadOnlyList<string> files, List<Notice> notices, CancellationToken cancellation)
    {
        if (
            IsKnown(
                path,
                "SELECT count(*) FROM returns r JOIN files f ON f.id = r.sheetFileId WHERE f.path = @path AND f.sha256 = @sha256",
                cancellation
            )
        )
            return false;
        var sheet = ReturnSheet.TryLoad(path) ?? throw Fault.Input(path, "it is not the sheet of a return that this program understands");
        var record = ReturnRecord.Of(sheet, path, name => Locate(name, path, files), [], isOld: true, cancellation);
        store.Write(c => record.Put(c, store.Paths, notices));
        return true;
    }

    private bool PutBench(string path, IReadOnlyList<string> files, List<Notice> notices, CancellationToken cancellation)
    {
        if (
            IsKnown(
                path,
                "SELECT count(*) FROM benches b JOIN files f ON f.id = b.fileId WHERE f.path = @path AND f.sha256 = @sha256",
                cancellation
            )
        )
            return false;
        var captures = BenchReport.Load(path).Runs.Select(r => r.File).Distinct().Select(f => Locate(f, path, files)).OfType<string>();
        var record = BenchRecord.Of(path, captures, cancellation);
        store.Write(c => record.Put(c, store.Paths, notices));
        return true;
    }

    /// <summary>A take whose return.json is gone still names its pass.</summary>
    private bool PutTake(string path, CancellationToken cancellation)
    {
        if (
            store.Read(c =>
                c.ExecuteScalar<long>("SELECT count(*) FROM files WHERE path = @path", new { path = store.Paths.ToStored(path) })
            ) > 0
        )
            return false;
        using (var reader = AudioFile.Open(path))
            if (TakeOrigin.Read(reader.Metadata)?.PassId is not { } passId || store.Read(c => SendRecord.PassOf(c, passId)) is null)
                return false;
        var file = FileFacts.Of(path, FileKind.Take, cancellation);
        store.Write(c => new FileBook(c, store.Paths, Words.Moment(File.GetLastWriteTimeUtc(path))).Put(file));
        return true;
    }

    private void PutJob(string folder)
    {
        var stored = store.Paths.ToStored(folder);
        if (JobBook.Load(folder) is not { } job || store.Read(c => JobBook.Has(c, stored)))
            return;
        var closedAt = job.ClosedAt ?? Words.Moment(File.GetLastWriteTimeUtc(Path.Combine(folder, JobCloser.JsonName)));
        store.Write(c => JobBook.Put(c, job, stored, closedAt));
    }

    private bool IsKnown(string path, string sql, CancellationToken cancellation)
    {
        var sha256 = FileDigest.Of(path, null, cancellation);
        return store.Read(c => c.ExecuteScalar<long>(sql, new { path = store.Paths.ToStored(path), sha256 })) > 0;
    }

    /// <summary>Where a file or folder lies that a sheet names: as it says, seen from the sheet's folder or one above it, else the only one of that name.</summary>
    private string? Locate(string name, string sheetPath, IReadOnlyList<string> files)
    {
        if (Path.IsPathRooted(name) && Path.Exists(name))
            return name;
        for (var folder = Path.GetDirectoryName(sheetPath); folder is not null; folder = Path.GetDirectoryName(folder))
        {
            if (!Path.IsPathRooted(name) && Path.Exists(Path.Combine(folder, name)))
                return Path.GetFullPath(Path.Combine(folder, name));
            if (folder == store.Folder)
                break;
        }
        var plain = Path.GetFileName(name.Replace('\\', '/'));
        return files.Where(f => Path.GetFileName(f) == plain).Take(2).ToArray() is [var only] ? only : null;
    }
}
