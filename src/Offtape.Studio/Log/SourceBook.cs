using Dapper;
using Microsoft.Data.Sqlite;

namespace Offtape.Studio;

/// <summary>The clean sounds of the log, by content; one may have had several names.</summary>
internal static class SourceBook
{
    public static long Put(
        SqliteConnection connection,
        string sha256,
        string name,
        double? lengthSeconds,
        int? sampleRateHz,
        int? channelCount
    )
    {
        var id = connection.ExecuteScalar<long>(
            """
            INSERT INTO sources (sha256, lengthSeconds, sampleRateHz, channelCount) VALUES (@sha256, @lengthSeconds, @sampleRateHz, @channelCount)
            ON CONFLICT (sha256) DO UPDATE SET lengthSeconds = coalesce(lengthSeconds, @lengthSeconds) RETURNING id
            """,
            new
            {
                sha256,
                lengthSeconds,
                sampleRateHz,
                channelCount,
            }
        );
        connection.Execute("INSERT OR IGNORE INTO sourceNames (sourceId, name) VALUES (@id, @name)", new { id, name });
        return id;
    }
}
