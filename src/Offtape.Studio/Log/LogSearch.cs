using Dapper;
using Microsoft.Data.Sqlite;

namespace Offtape.Studio;

/// <summary>Answers questions about what was printed.</summary>
public sealed class LogSearch(StudioStore store)
{
    // Trigrams need three letters; shorter parts of names are looked for one by one.
    private const int ShortestIndexed = 3;

    // From here on it is quicker to go through the passes; measured in perf/results/studio.md.
    private const int ManyNames = 1000;

    private const string Like = "n.name LIKE @source ESCAPE '\\'";

    private const string Select = """
        SELECT s.id AS SendId, coalesce((SELECT x.tracks FROM stretches x WHERE x.passId = p.id), p.tapeTracks) AS TapeTracks, s.passId AS PassId, p.at AS At, m.name AS Machine, t.name AS Tape, d.name AS Side,
            p.speedCmPerSecond AS SpeedCmPerSecond, p.startCounter AS StartCounter, p.startSeconds AS StartSeconds, s.lengthSeconds AS LengthSeconds,
            p.pitchPercent AS PitchPercent, p.inputLevel AS InputLevel, p.noiseReduction AS NoiseReduction, p.tapeType AS TapeType,
            s.levelDbfs AS LevelDbfs, s.printRatio AS PrintRatio, s.reversed AS Reversed, s.layout AS Layout, p.note AS Note, f.path AS Sheet,
            (SELECT count(*) FROM returnPasses r WHERE r.passId = p.id) AS ReturnCount
        FROM passes p
        JOIN sends s ON s.id = p.sendId
        LEFT JOIN machines m ON m.id = p.machineId
        LEFT JOIN sides d ON d.id = p.sideId
        LEFT JOIN tapes t ON t.id = d.tapeId
        LEFT JOIN files f ON f.id = s.sheetFileId
        """;

    /// <summary>Passes, the newest first.</summary>
    public IReadOnlyList<LoggedPass> Passes(PassFilter filter) => store.Read(c => Passes(c, filter));

    /// <summary>The pass of a name; null: the log has none.</summary>
    public LoggedPass? Pass(string passId) => Passes(new PassFilter { PassId = passId }) is [var pass, ..] ? pass : null;

    internal static IReadOnlyList<LoggedPass> Passes(SqliteConnection connection, PassFilter filter)
    {
        var (where, values) = Where(connection, filter);
        values.Add("limit", filter.Limit);
        // Which they are first, and what they are after that: of thousands that fit, only those that are wanted are put together.
        long[] ids =
        [
            .. connection.Query<long>(
                $"SELECT p.id FROM passes p JOIN sends s ON s.id = p.sendId {where} ORDER BY p.at DESC, p.id DESC LIMIT @limit",
                values
            ),
        ];
        return Passes(connection, ids);
    }

    /// <summary>The passes of these numbers, the newest first.</summary>
    internal static IReadOnlyList<LoggedPass> Passes(SqliteConnection connection, IReadOnlyCollection<long> ids) =>
        ids.Count == 0
            ? []
            : Read(connection, $"{Select} WHERE p.id IN @ids ORDER BY p.at DESC, p.id DESC", new DynamicParameters(new { ids }));

    private static IReadOnlyList<LoggedPass> Read(SqliteConnection connection, string sql, DynamicParameters values)
    {
        var rows = connection
            .Query<RowKey, LoggedPass, (RowKey Key, LoggedPass Pass)>(
                sql,
                (key, pass) => (key, pass),
                values,
                splitOn: nameof(LoggedPass.PassId)
            )
            .AsList();
        var names = connection
            .Query<(long SendId, string Name)>(
                "SELECT sendId, name FROM sendItems WHERE sendId IN @sends ORDER BY sendId, position",
                new { sends = rows.Select(r => r.Key.SendId).Distinct() }
            )
            .ToLookup(i => i.SendId, i => i.Name);
        return [.. rows.Select(r => r.Pass with { Sources = [.. names[r.Key.SendId]], TapeTracks = TrackList.Parse(r.Key.TapeTracks) })];
    }

    private static (string Sql, DynamicParameters Values) Where(SqliteConnection connection, PassFilter filter)
    {
        var terms = new List<string>();
        var values = new DynamicParameters();
        void Add(string term, string name, object value)
        {
            terms.Add(term);
            values.Add(name, value);
        }
        if (filter.PassId is { } passId)
            Add("s.passId = @passId", "passId", passId);
        // By its number, so that the index by machine, speed and time serves.
        if (filter.Machine is { } machine)
            Add("p.machineId = @machine", "machine", IdOf(connection, "SELECT id FROM machines WHERE name = @name", machine));
        if (filter.Tape is { } tape)
            Add("p.sideId IN (SELECT d.id FROM sides d JOIN tapes t ON t.id = d.tapeId WHERE t.name = @tape)", "tape", tape);
        if (filter.Side is { } side)
            Add("p.sideId IN (SELECT id FROM sides WHERE name = @side)", "side", side);
        if (filter.SpeedCmPerSecond is { } speed)
        {
            Add("p.speedCmPerSecond BETWEEN @slow AND @fast", "slow", speed * 0.99);
            values.Add("fast", speed * 1.01);
        }
        if (filter.From is { } from)
            Add("p.at >= @from", "from", from);
        if (filter.To is { } to)
            // "~" stands behind every character of a time.
            Add("p.at <= @to", "to", to + "~");
        if (filter.Source is { Length: > 0 } source)
        {
            var (term, value) = Holding(connection, source);
            Add(term, "source", value);
        }
        return (terms.Count == 0 ? "" : "WHERE " + string.Join(" AND ", terms), values);
    }

    /// <summary>
    /// Passes with a name that holds a text: from few names to their passes; where very many names fit, from the passes, the newest first, to
    /// their names, as those that are wanted are then soon together.
    /// </summary>
    private static (string Term, string Value) Holding(SqliteConnection connection, string text)
    {
        var pattern = $"%{Escaped(text)}%";
        var (names, value) =
            text.Length >= ShortestIndexed
                ? (
                    "SELECT rowid FROM sourceNameText WHERE sourceNameText MATCH @source",
                    $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\""
                )
                : ($"SELECT n.id FROM sourceNames n WHERE {Like}", pattern);
        var count = connection.ExecuteScalar<long>($"SELECT count(*) FROM ({names} LIMIT {ManyNames})", new { source = value });
        return count < ManyNames
            ? (
                $"p.sendId IN (SELECT i.sendId FROM sourceNames n CROSS JOIN sendItems i ON i.sourceId = n.sourceId WHERE n.id IN ({names}))",
                value
            )
            : (
                "EXISTS (SELECT 1 FROM sendItems i CROSS JOIN sourceNames n ON n.sourceId = i.sourceId "
                    + $"WHERE i.sendId = p.sendId AND {Like})",
                pattern
            );
    }

    private static long IdOf(SqliteConnection connection, string sql, string name) =>
        connection.ExecuteScalar<long?>(sql, new { name }) ?? -1;

    private static string Escaped(string text) =>
        text.Replace("\\", "\\\\", StringComparison.Ordinal)
            .Replace("%", "\\%", StringComparison.Ordinal)
            .Replace("_", "\\_", StringComparison.Ordinal);

    /// <summary>What stands beside a pass in a line of the answer.</summary>
    private sealed record RowKey
    {
        public long SendId { get; init; }
        public string? TapeTracks { get; init; }
    }
}
