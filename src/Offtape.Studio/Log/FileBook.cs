using Dapper;
using Microsoft.Data.Sqlite;

namespace Offtape.Studio;

/// <summary>The files of the log. A path has one content at a time; what stood there before is still known by its hash.</summary>
internal sealed class FileBook(SqliteConnection connection, StudioPaths paths, string at)
{
    /// <summary>Notes what stands under a path now.</summary>
    /// <returns>The line's number.</returns>
    public long Put(FileFacts file)
    {
        var stored = new
        {
            path = paths.ToStored(file.Path),
            sha256 = file.Sha256,
            byteCount = file.ByteCount,
            kind = file.Kind,
            at,
        };
        connection.Execute("UPDATE files SET replacedAt = @at WHERE path = @path AND sha256 <> @sha256 AND replacedAt IS NULL", stored);
        return connection.ExecuteScalar<long>(
            """
            INSERT INTO files (path, sha256, byteCount, kind, addedAt) VALUES (@path, @sha256, @byteCount, @kind, @at)
            ON CONFLICT (path, sha256) DO UPDATE SET replacedAt = NULL, byteCount = @byteCount
            RETURNING id
            """,
            stored
        );
    }
}
