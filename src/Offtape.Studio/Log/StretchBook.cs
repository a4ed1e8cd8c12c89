using Dapper;
using Microsoft.Data.Sqlite;

namespace Offtape.Studio;

/// <summary>What of a side a pass uses.</summary>
internal static class StretchBook
{
    /// <summary>Notes the stretch that a pass uses, where its side is known. How often it has been recorded over is one more than the most of what it lies on.</summary>
    public static void Add(SqliteConnection connection, long passId) =>
        connection.Execute(
            """
            INSERT INTO stretches (sideId, passId, at, startSeconds, endSeconds, startCounter, speedCmPerSecond, reversed, times)
            SELECT p.sideId, p.id, p.at, p.startSeconds, p.startSeconds + s.lengthSeconds, p.startCounter, p.speedCmPerSecond, s.reversed,
                1 + coalesce((
                    SELECT max(o.times) FROM stretches o
                    WHERE o.sideId = p.sideId AND o.startSeconds < p.startSeconds + s.lengthSeconds AND o.endSeconds > p.startSeconds), 0)
            FROM passes p JOIN sends s ON s.id = p.sendId WHERE p.id = @passId AND p.sideId IS NOT NULL
            """,
            new { passId }
        );

    /// <summary>The same after the pass turned out to be elsewhere.</summary>
    public static void Move(SqliteConnection connection, long passId)
    {
        connection.Execute("DELETE FROM stretches WHERE passId = @passId", new { passId });
        Add(connection, passId);
    }
}
