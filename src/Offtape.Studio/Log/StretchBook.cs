using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.Passes;

namespace Offtape.Studio;

/// <summary>What of a side a pass uses.</summary>
internal static class StretchBook
{
    /// <summary>Notes the stretch of a pass. How often it has been recorded over is one more than the most of what it lies on.</summary>
    public static void Add(SqliteConnection connection, long passId, long sideId, PassSheet sheet, SheetRun run, string at)
    {
        var end = run.StartSeconds + sheet.LengthSeconds;
        var times = run.StartSeconds is null
            ? 1
            : 1
                + connection.ExecuteScalar<long>(
                    "SELECT coalesce(max(times), 0) FROM stretches WHERE sideId = @sideId AND startSeconds < @end AND endSeconds > @start",
                    new
                    {
                        sideId,
                        start = run.StartSeconds,
                        end,
                    }
                );
        connection.Execute(
            """
            INSERT INTO stretches (sideId, passId, at, startSeconds, endSeconds, startCounter, speedCmPerSecond, reversed, times)
            VALUES (@sideId, @passId, @at, @start, @end, @counter, @speed, @reversed, @times)
            """,
            new
            {
                sideId,
                passId,
                at,
                start = run.StartSeconds,
                end,
                counter = run.StartCounter,
                speed = sheet.SpeedCmPerSecond,
                reversed = sheet.Reversed,
                times,
            }
        );
    }
}
