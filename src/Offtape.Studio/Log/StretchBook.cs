using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>
/// What of a side its passes use, and how often each place of it was recorded. A count is one more than the most of the earlier recordings that it
/// lies on, in metres of tape and on the same tracks, unless it was typed.
/// </summary>
internal static class StretchBook
{
    /// <summary>Notes the stretch that a pass uses, where its side is known.</summary>
    public static void Add(SqliteConnection connection, long passId)
    {
        var pass = connection.QueryFirstOrDefault<PassRow>(
            """
            SELECT p.sideId, p.at, p.startSeconds, p.startSeconds + s.lengthSeconds AS endSeconds, p.startCounter, p.speedCmPerSecond, s.reversed,
                p.sendTracks, p.tapeTracks, d.name AS side, t.trackFormat AS tapeFormat, m.trackFormat AS machineFormat
            FROM passes p JOIN sends s ON s.id = p.sendId JOIN sides d ON d.id = p.sideId JOIN tapes t ON t.id = d.tapeId
            LEFT JOIN machines m ON m.id = p.machineId WHERE p.id = @passId
            """,
            new { passId }
        );
        if (pass is null)
            return;
        var id = connection.ExecuteScalar<long>(
            """
            INSERT INTO stretches (sideId, passId, at, startSeconds, endSeconds, startCounter, speedCmPerSecond, reversed, tracks)
            VALUES (@SideId, @passId, @At, @StartSeconds, @EndSeconds, @StartCounter, @SpeedCmPerSecond, @Reversed, @tracks) RETURNING id
            """,
            new
            {
                pass.SideId,
                passId,
                pass.At,
                pass.StartSeconds,
                pass.EndSeconds,
                pass.StartCounter,
                pass.SpeedCmPerSecond,
                pass.Reversed,
                tracks = TrackList.ToStored(pass.TapeTrackNumbers),
            }
        );
        Count(connection, pass.SideId, id);
    }

    /// <summary>Takes away what a pass uses. What was recorded over it later counts one less.</summary>
    public static void Remove(SqliteConnection connection, long passId)
    {
        long[] sides = [.. connection.Query<long>("SELECT DISTINCT sideId FROM stretches WHERE passId = @passId", new { passId })];
        connection.Execute("DELETE FROM stretches WHERE passId = @passId", new { passId });
        foreach (var side in sides)
            Recount(connection, side);
    }

    /// <summary>How many later recordings lie on a stretch and are counted by it.</summary>
    public static int LaterCount(SqliteConnection connection, long sideId, long id)
    {
        var rows = Rows(connection, sideId);
        var own = rows.FindIndex(r => r.Id == id);
        return own < 0 ? 0 : rows.Skip(own + 1).Count(r => r.TimesTyped is null && r.LiesOn(rows[own]));
    }

    /// <summary>The same after the pass turned out to be elsewhere.</summary>
    public static void Move(SqliteConnection connection, long passId)
    {
        Remove(connection, passId);
        Add(connection, passId);
    }

    /// <summary>Works out the tracks of a tape's passes again, after its format became known.</summary>
    public static void ResolveTape(SqliteConnection connection, long tapeId) =>
        Resolve(connection, "x.sideId IN (SELECT id FROM sides WHERE tapeId = @id)", tapeId);

    /// <summary>The same for the passes of a machine.</summary>
    public static void ResolveMachine(SqliteConnection connection, long machineId) => Resolve(connection, "p.machineId = @id", machineId);

    /// <summary>Counts a stretch that is new; what was recorded later on that side is counted again.</summary>
    public static void Count(SqliteConnection connection, long sideId, long id)
    {
        var isLatest =
            connection.ExecuteScalar<long>(
                "SELECT count(*) FROM stretches o JOIN stretches n ON n.id = @id WHERE o.sideId = @sideId AND o.at > n.at",
                new { sideId, id }
            ) == 0;
        if (!isLatest)
        {
            Recount(connection, sideId);
            return;
        }
        var rows = Rows(connection, sideId);
        Keep(connection, rows[^1], Times(rows, rows.Count - 1));
    }

    private static void Resolve(SqliteConnection connection, string where, long id)
    {
        var rows = connection
            .Query<PassRow>(
                $"""
                SELECT x.id AS stretchId, x.tracks AS stored, x.sideId, p.sendTracks, p.tapeTracks, d.name AS side, t.trackFormat AS tapeFormat,
                    m.trackFormat AS machineFormat
                FROM stretches x JOIN passes p ON p.id = x.passId JOIN sides d ON d.id = x.sideId JOIN tapes t ON t.id = d.tapeId
                LEFT JOIN machines m ON m.id = p.machineId WHERE {where}
                """,
                new { id }
            )
            .AsList();
        var changed = new HashSet<long>();
        foreach (var row in rows)
        {
            var tracks = TrackList.ToStored(row.TapeTrackNumbers);
            if (tracks == row.Stored)
                continue;
            connection.Execute("UPDATE stretches SET tracks = @tracks WHERE id = @StretchId", new { tracks, row.StretchId });
            changed.Add(row.SideId);
        }
        foreach (var side in changed)
            Recount(connection, side);
    }

    private static void Recount(SqliteConnection connection, long sideId)
    {
        var rows = Rows(connection, sideId);
        for (var i = 0; i < rows.Count; i++)
            Keep(connection, rows[i], Times(rows, i));
    }

    private static void Keep(SqliteConnection connection, StretchRow row, int times)
    {
        if (row.Times != times)
            connection.Execute("UPDATE stretches SET times = @times WHERE id = @Id", new { times, row.Id });
        row.Times = times;
    }

    private static int Times(List<StretchRow> rows, int index)
    {
        var own = rows[index];
        return own.TimesTyped ?? 1 + rows.Take(index).Where(own.LiesOn).Select(r => r.Times).DefaultIfEmpty(0).Max();
    }

    /// <summary>Every stretch of a side in the order of recording; those of one second as they were noted.</summary>
    private static List<StretchRow> Rows(SqliteConnection connection, long sideId) =>
        connection
            .Query<StretchRow>(
                """
                SELECT id, speedCmPerSecond * startSeconds AS fromCm, speedCmPerSecond * endSeconds AS toCm, tracks, times, timesTyped
                FROM stretches WHERE sideId = @sideId ORDER BY at, id
                """,
                new { sideId }
            )
            .AsList();

    private sealed class StretchRow
    {
        public long Id { get; set; }
        public double? FromCm { get; set; }
        public double? ToCm { get; set; }
        public string? Tracks { get; set; }
        public int Times { get; set; }
        public int? TimesTyped { get; set; }

        internal bool LiesOn(StretchRow other) =>
            FromCm < other.ToCm && ToCm > other.FromCm && TrackList.Meet(TrackList.Parse(Tracks), TrackList.Parse(other.Tracks));
    }

    private sealed class PassRow
    {
        public long StretchId { get; set; }
        public string? Stored { get; set; }
        public long SideId { get; set; }
        public string At { get; set; } = "";
        public double? StartSeconds { get; set; }
        public double? EndSeconds { get; set; }
        public double? StartCounter { get; set; }
        public double? SpeedCmPerSecond { get; set; }
        public bool Reversed { get; set; }
        public string? SendTracks { get; set; }
        public string? TapeTracks { get; set; }
        public string Side { get; set; } = "";
        public string? TapeFormat { get; set; }
        public string? MachineFormat { get; set; }

        internal IReadOnlyList<int> TapeTrackNumbers =>
            TapeTracks is not null
                ? TrackList.Parse(TapeTracks)
                : PassTracks.Of(Format(TapeFormat), Format(MachineFormat), Side, TrackList.Parse(SendTracks));

        private static TrackFormat? Format(string? word) => word is null ? null : TrackFormatNames.Find(word);
    }
}
