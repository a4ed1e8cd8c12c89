using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Passes;

namespace Offtape.Studio;

/// <summary>Which tape and machine made a file: by its content, whatever it is called now; else by what it says of itself.</summary>
public sealed class OriginSearch(StudioStore store)
{
    /// <exception cref="Fault">Input: the file cannot be read.</exception>
    public FileOrigin Of(string path, CancellationToken cancellation = default)
    {
        var sha256 = FileDigest.Of(path, null, cancellation);
        var told = Told(path);
        return store.Read(c => ByContent(c, path, sha256, told) ?? ByMetadata(c, path, sha256, told)) with { PassIdInFile = told?.PassId };
    }

    private static TakeOrigin? Told(string path)
    {
        try
        {
            using var reader = AudioFile.Open(path);
            return TakeOrigin.Read(reader.Metadata);
        }
        catch (Fault)
        {
            // No audio: its content is all there is to go by.
            return null;
        }
    }

    private static FileOrigin? ByContent(SqliteConnection connection, string path, string sha256, TakeOrigin? told)
    {
        var file = connection.QueryFirstOrDefault<FileRow>(
            "SELECT id AS Id, path AS Path, kind AS Kind FROM files WHERE sha256 = @sha256 ORDER BY replacedAt IS NOT NULL, id DESC",
            new { sha256 }
        );
        if (file is null)
            return null;
        var origin = new FileOrigin
        {
            File = path,
            Sha256 = sha256,
            KnownBy = "content",
            Kind = file.Kind,
            LoggedAs = file.Path,
        };
        return file.Kind switch
        {
            // A take whose return the log does not have is known by what it says itself.
            FileKind.Take => OfTake(connection, origin, sha256) ?? ByMetadata(connection, path, sha256, told) with { LoggedAs = file.Path },
            FileKind.Capture => origin with { Passes = Passes(connection, CaptureSql, new { sha256 }) },
            FileKind.Send or FileKind.PassSheet => origin with
            {
                Passes = Passes(
                    connection,
                    "SELECT p.id FROM passes p JOIN sends s ON s.id = p.sendId WHERE @id IN (s.sendFileId, s.sheetFileId)",
                    new { id = file.Id }
                ),
            },
            FileKind.Source => origin with { Passes = Passes(connection, SourceSql, new { sha256 }) },
            FileKind.Bench or FileKind.BenchCapture => origin with { Bench = BenchOf(connection, file.Id) },
            _ => origin,
        };
    }

    private const string CaptureSql = """
        SELECT r.passId FROM returnPasses r JOIN captures c ON c.id = r.captureId JOIN files f ON f.id = c.fileId
        WHERE f.sha256 = @sha256 AND r.passId IS NOT NULL
        """;

    private const string SourceSql = """
        SELECT p.id FROM passes p JOIN sendItems i ON i.sendId = p.sendId JOIN sources s ON s.id = i.sourceId WHERE s.sha256 = @sha256
        """;

    private static FileOrigin? OfTake(SqliteConnection connection, FileOrigin origin, string sha256)
    {
        var take = connection.QueryFirstOrDefault<TakeRow>(
            """
            SELECT t.sourceName AS Source, t.captureStartSeconds AS CaptureStartSeconds, t.passId AS PassId, tf.retiming AS Retiming, cf.path AS Capture
            FROM takeFiles tf JOIN files f ON f.id = tf.fileId JOIN takes t ON t.id = tf.takeId
            LEFT JOIN captures c ON c.id = t.captureId LEFT JOIN files cf ON cf.id = c.fileId
            WHERE f.sha256 = @sha256 ORDER BY t.passId IS NULL, t.id DESC
            """,
            new { sha256 }
        );
        return take is null
            ? null
            : origin with
            {
                Source = take.Source,
                Retiming = take.Retiming,
                Capture = take.Capture,
                CaptureStartSeconds = take.CaptureStartSeconds,
                Passes = take.PassId is { } id ? LogSearch.Passes(connection, [id]) : [],
            };
    }

    private static FileOrigin ByMetadata(SqliteConnection connection, string path, string sha256, TakeOrigin? told)
    {
        IReadOnlyList<LoggedPass> passes = told?.PassId is { } passId
            ? LogSearch.Passes(connection, new PassFilter { PassId = passId })
            : [];
        return new FileOrigin
        {
            File = path,
            Sha256 = sha256,
            KnownBy = passes.Count > 0 ? "metadata" : null,
            Kind = told is null ? null : FileKind.Take,
            Source = told?.Source,
            Retiming = told?.Retiming,
            Passes = passes,
        };
    }

    private static IReadOnlyList<LoggedPass> Passes(SqliteConnection connection, string sql, object values) =>
        LogSearch.Passes(connection, connection.Query<long>(sql, values).Distinct().ToArray());

    private static string? BenchOf(SqliteConnection connection, long fileId) =>
        connection.ExecuteScalar<string?>(
            """
            SELECT coalesce(nullif(b.machineName, ''), 'a machine without a name') || ', ' || substr(b.at, 1, 10) FROM benches b
            WHERE b.fileId = @fileId OR b.id IN (SELECT benchId FROM benchCaptures WHERE fileId = @fileId) ORDER BY b.id DESC
            """,
            new { fileId }
        );

    private sealed record FileRow
    {
        public long Id { get; init; }
        public string Path { get; init; } = "";
        public string Kind { get; init; } = "";
    }

    private sealed record TakeRow
    {
        public string? Source { get; init; }
        public double? CaptureStartSeconds { get; init; }
        public long? PassId { get; init; }
        public string? Retiming { get; init; }
        public string? Capture { get; init; }
    }
}
