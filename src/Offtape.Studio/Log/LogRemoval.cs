using System.Text.Json;
using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Passes;

namespace Offtape.Studio;

/// <summary>
/// Takes passes out of the log whose sends were made and never run. A pass that anything speaks of (a return, a take, a closed job) stays: it is evidence
/// of what was printed. Files stay where they are unless it is asked for.
/// </summary>
public sealed class LogRemoval(StudioStore store)
{
    /// <summary>What taking passes out would do.</summary>
    /// <exception cref="Fault">Incomplete: there is no such pass, or it is evidence.</exception>
    public IReadOnlyList<RemovedPass> Plan(IReadOnlyCollection<string> passIds, CancellationToken cancellation)
    {
        var told = ToldByTakes(cancellation);
        return store.Read(c => Planned(c, passIds, told, cancellation));
    }

    /// <summary>Takes passes out, all of them or none.</summary>
    /// <param name="passIds">Their names.</param>
    /// <param name="withFiles">Delete their sends and sheets as well, as far as they are as they were logged.</param>
    /// <param name="now">When.</param>
    /// <param name="cancellation">Stops it before anything is changed.</param>
    /// <returns>What was done, and the files that were deleted, as the log had them.</returns>
    /// <exception cref="Fault">As <see cref="Plan"/>; or Output: a file cannot be deleted, and the passes are out of the log.</exception>
    public (IReadOnlyList<RemovedPass> Passes, IReadOnlyList<string> Deleted) Remove(
        IReadOnlyCollection<string> passIds,
        bool withFiles,
        DateTime now,
        CancellationToken cancellation
    )
    {
        var told = ToldByTakes(cancellation);
        var notes = new List<string>();
        var plan = store.Write(c =>
        {
            var plan = Planned(c, passIds, told, cancellation);
            foreach (var removed in plan)
                notes.Add(TakeOut(c, removed.Pass.PassId, Words.Moment(now)));
            return plan;
        });
        var deleted = new List<string>();
        if (withFiles)
            for (var i = 0; i < plan.Count; i++)
                Delete(plan[i], notes[i], deleted);
        return (plan, deleted);
    }

    private IReadOnlyList<RemovedPass> Planned(
        SqliteConnection connection,
        IReadOnlyCollection<string> passIds,
        HashSet<string> told,
        CancellationToken cancellation
    ) =>
        [
            .. passIds
                .Distinct()
                .Select(passId =>
                {
                    if (LogSearch.Passes(connection, new PassFilter { PassId = passId }) is not [var pass, ..])
                        throw Fault.Incomplete($"The log has no pass \"{passId}\"", "log list shows what it has.");
                    if (Evidence(connection, passId, told) is { } evidence)
                        throw Fault.Incomplete(
                            $"Pass {passId} stays in the log: {evidence}",
                            "Only a pass that was never run can be taken out."
                        );
                    return Planned(connection, pass, cancellation);
                }),
        ];

    private RemovedPass Planned(SqliteConnection connection, LoggedPass pass, CancellationToken cancellation)
    {
        var stretch = connection.QueryFirstOrDefault<(long SideId, long Id, double? From, double? To)>(
            """
            SELECT x.sideId, x.id, x.startSeconds, x.endSeconds
            FROM stretches x JOIN passes p ON p.id = x.passId JOIN sends s ON s.id = p.sendId WHERE s.passId = @PassId
            """,
            new { pass.PassId }
        );
        var files = connection
            .Query<(string Path, string Sha256, string Kind)>(
                """
                SELECT f.path, f.sha256, f.kind FROM sends s JOIN files f ON f.id IN (s.sheetFileId, s.sendFileId)
                WHERE s.passId = @PassId AND f.replacedAt IS NULL
                    AND NOT EXISTS (SELECT 1 FROM sends o WHERE o.passId <> @PassId AND f.id IN (o.sheetFileId, o.sendFileId))
                ORDER BY f.kind DESC
                """,
                new { pass.PassId }
            )
            .AsList();
        return new RemovedPass
        {
            Pass = pass,
            FreedFromSeconds = pass.SpeedCmPerSecond is null ? null : stretch.From,
            FreedToSeconds = pass.SpeedCmPerSecond is null ? null : stretch.To,
            LaterCount = StretchBook.LaterCount(connection, stretch.SideId, stretch.Id),
            Files =
            [
                .. files
                    .Where(f => File.Exists(store.Paths.ToFull(f.Path)))
                    .Select(f => new RemovableFile(
                        f.Path,
                        FileFacts.Of(store.Paths.ToFull(f.Path), f.Kind, cancellation).Sha256 == f.Sha256
                    )),
            ],
        };
    }

    /// <summary>What speaks of a pass, in words; null: nothing does.</summary>
    private string? Evidence(SqliteConnection connection, string passId, HashSet<string> told)
    {
        long Count(string sql) => connection.ExecuteScalar<long>(sql, new { passId });
        const string own = "IN (SELECT p.id FROM passes p JOIN sends s ON s.id = p.sendId WHERE s.passId = @passId)";
        if (Count($"SELECT count(*) FROM returnPasses WHERE passId {own}") is > 0 and var heard)
            return $"it came back {Words.Count((int)heard, "time")}";
        if (Count($"SELECT count(*) FROM takes WHERE passId {own}") > 0)
            return "there are takes of it";
        if (told.Contains(passId))
            return "a take in the studio names it";
        if (IsAskedFor(connection, passId))
            return "a return was made with its sheet";
        return JobBook.Holds(connection, store.Paths, passId) ? "a closed job holds it" : null;
    }

    /// <summary>Whether some return was given its sheet, whatever it found.</summary>
    private bool IsAskedFor(SqliteConnection connection, string passId)
    {
        var sheet = connection.ExecuteScalar<string?>(
            "SELECT f.path FROM sends s JOIN files f ON f.id = s.sheetFileId WHERE s.passId = @passId AND f.replacedAt IS NULL",
            new { passId }
        );
        if (sheet is null)
            return false;
        string[] ways = [store.Paths.ToFull(sheet), Path.GetDirectoryName(store.Paths.ToFull(sheet))!];
        return connection
            .Query<string>("SELECT request FROM returns WHERE request IS NOT NULL")
            .AsList()
            .Select(r => JsonSerializer.Deserialize(r, LogJson.Default.ReturnAsked))
            .Any(r => r?.Passes.Any(p => ways.Contains(store.Paths.ToFull(p))) is true);
    }

    /// <summary>Passes that takes without a sheet of their own name themselves.</summary>
    private HashSet<string> ToldByTakes(CancellationToken cancellation)
    {
        var paths = store.Read(c =>
            c.Query<string>(
                    "SELECT path FROM files WHERE kind = @Take AND replacedAt IS NULL AND id NOT IN (SELECT fileId FROM takeFiles)",
                    new { FileKind.Take }
                )
                .AsList()
        );
        var told = new HashSet<string>();
        foreach (var path in paths.Select(store.Paths.ToFull).Where(File.Exists))
        {
            cancellation.ThrowIfCancellationRequested();
            try
            {
                using var reader = AudioFile.Open(path);
                if (TakeOrigin.Read(reader.Metadata)?.PassId is { } passId)
                    told.Add(passId);
            }
            catch (Fault)
            {
                // A take that cannot be read names no pass; log verify tells it.
            }
        }
        return told;
    }

    /// <returns>Path of the file that keeps that it was taken out, so that log rebuild leaves it out.</returns>
    private string TakeOut(SqliteConnection connection, string passId, string at)
    {
        var id = SendRecord.PassOf(connection, passId)!.Value;
        var kept = new KeptFiles(connection, store.Paths);
        var note = kept.PathOf(passId);
        kept.Pass(id, removedAt: at);
        StretchBook.Remove(connection, id);
        var fileIds = connection.QuerySingle<(long? Sheet, long? Send)>(
            "SELECT sheetFileId, sendFileId FROM sends WHERE passId = @passId",
            new { passId }
        );
        var sourceIds = connection
            .Query<long>("SELECT i.sourceId FROM sendItems i JOIN sends s ON s.id = i.sendId WHERE s.passId = @passId", new { passId })
            .AsList();
        // Items and passes go with their send.
        connection.Execute("DELETE FROM sends WHERE passId = @passId", new { passId });
        connection.Execute(
            """
            DELETE FROM files WHERE id IN (@Sheet, @Send)
                AND NOT EXISTS (SELECT 1 FROM sends WHERE sheetFileId = files.id OR sendFileId = files.id)
            """,
            new { fileIds.Sheet, fileIds.Send }
        );
        // Sounds that no other pass has.
        long[] unused =
        [
            .. connection.Query<long>(
                """
                SELECT id FROM sources WHERE id IN @sourceIds AND NOT EXISTS (SELECT 1 FROM sendItems WHERE sourceId = sources.id)
                    AND NOT EXISTS (SELECT 1 FROM takes WHERE sourceId = sources.id)
                """,
                new { sourceIds }
            ),
        ];
        var gone = new { unused, FileKind.Source };
        connection.Execute("DELETE FROM sourceNames WHERE sourceId IN @unused", gone);
        connection.Execute("DELETE FROM files WHERE kind = @Source AND sha256 IN (SELECT sha256 FROM sources WHERE id IN @unused)", gone);
        connection.Execute("DELETE FROM sources WHERE id IN @unused", gone);
        return note;
    }

    private void Delete(RemovedPass removed, string note, List<string> deleted)
    {
        foreach (var file in removed.Files.Where(f => f.IsAsLogged))
        {
            var path = store.Paths.ToFull(file.Path);
            try
            {
                File.Delete(path);
                deleted.Add(file.Path);
                // With its sheet gone, there is nothing that the log could take in again.
                if (path == Path.Combine(Path.GetDirectoryName(note)!, PassSheet.FileName))
                    File.Delete(note);
            }
            catch (Exception error) when (error is IOException or UnauthorizedAccessException)
            {
                throw Fault.Output(path, "it cannot be deleted; the pass is out of the log", null, error);
            }
        }
    }
}
