using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>The machines of a studio.</summary>
public sealed class MachineBook(StudioStore store)
{
    /// <summary>More hours at once are a slip of the hand.</summary>
    public const double MostHoursAtOnce = 100_000;

    internal const string Columns = """
        name AS Name, kind AS Kind, monitoring AS Monitoring, speedsCmPerSecond AS SpeedsCmPerSecond, trackFormat AS TrackFormat,
        headDistanceMm AS HeadDistanceMm, mainsHz AS MainsHz, hoursWhenAdded AS HoursWhenAdded, nullif(note, '') AS Note
        """;

    internal const string LineUpColumns = """
        at AS At, sendDbfsAtZero AS SendDbfsAtZero, returnDbfsAtZero AS ReturnDbfsAtZero, trimDb AS TrimDb, speedCmPerSecond AS SpeedCmPerSecond,
        tapeType AS TapeType, note AS Note
        """;

    /// <summary>Adds a machine, or completes one that is there: what is said replaces what was.</summary>
    /// <returns>Whether it is new.</returns>
    public bool Put(MachineEntry machine, DateTime now) =>
        store.Write(c =>
        {
            var isNew = c.ExecuteScalar<long?>("SELECT id FROM machines WHERE name = @Name", machine) is null;
            if (isNew)
                c.Execute("INSERT INTO machines (name, addedAt) VALUES (@Name, @at)", new { machine.Name, at = Words.Moment(now) });
            c.Execute(
                """
                UPDATE machines SET kind = coalesce(@Kind, kind), monitoring = coalesce(@Monitoring, monitoring),
                    speedsCmPerSecond = coalesce(@SpeedsCmPerSecond, speedsCmPerSecond), trackFormat = coalesce(@TrackFormat, trackFormat),
                    headDistanceMm = coalesce(@HeadDistanceMm, headDistanceMm), mainsHz = coalesce(@MainsHz, mainsHz),
                    hoursWhenAdded = coalesce(@HoursWhenAdded, hoursWhenAdded), note = coalesce(@Note, note)
                WHERE name = @Name
                """,
                machine
            );
            if (machine.TrackFormat is not null)
                StretchBook.ResolveMachine(c, IdOf(c, machine.Name));
            new KeptFiles(c, store.Paths).Machine(machine.Name);
            return isNew;
        });

    public IReadOnlyList<MachineView> All() =>
        store.Read<IReadOnlyList<MachineView>>(c =>
            [.. c.Query<long>("SELECT id FROM machines ORDER BY name").AsList().Select(id => View(c, id))]
        );

    /// <exception cref="Fault">Incomplete: there is no such machine.</exception>
    public MachineView Find(string name) => store.Read(c => View(c, IdOf(c, name)));

    /// <inheritdoc cref="Find"/>
    public void AddLineUp(string name, LineUp lineUp) =>
        Note(
            name,
            (c, id) =>
                c.Execute(
                    """
                    INSERT INTO lineUps (machineId, at, sendDbfsAtZero, returnDbfsAtZero, trimDb, speedCmPerSecond, tapeType, note)
                    VALUES (@machineId, @At, @SendDbfsAtZero, @ReturnDbfsAtZero, @TrimDb, @SpeedCmPerSecond, @TapeType, @Note)
                    """,
                    With(lineUp, id)
                )
        );

    /// <param name="name">The machine.</param>
    /// <param name="hours">Run besides the passes of the log; below 0 takes back what was too much.</param>
    /// <param name="at">When.</param>
    /// <param name="note">A remark.</param>
    /// <exception cref="Fault">Incomplete: there is no such machine.</exception>
    public void AddHours(string name, double hours, string at, string note) =>
        Note(
            name,
            (c, machineId) =>
                c.Execute(
                    "INSERT INTO hours (machineId, at, hours, note) VALUES (@machineId, @at, @hours, @note)",
                    new
                    {
                        machineId,
                        at,
                        hours,
                        note,
                    }
                )
        );

    /// <summary>Notes a task as done.</summary>
    /// <inheritdoc cref="AddHours"/>
    public void AddUpkeep(string name, string task, string at, string note) =>
        Note(
            name,
            (c, machineId) =>
                c.Execute(
                    "INSERT INTO upkeep (machineId, at, task, atHours, note) VALUES (@machineId, @at, @task, @atHours, @note)",
                    new
                    {
                        machineId,
                        at,
                        task,
                        atHours = Hours(c, machineId).Total,
                        note,
                    }
                )
        );

    /// <summary>Notes something of a machine, in the database and in its file.</summary>
    private void Note(string name, Action<SqliteConnection, long> write) =>
        store.Write(c =>
        {
            write(c, IdOf(c, name));
            new KeptFiles(c, store.Paths).Machine(name);
        });

    private static DynamicParameters With(LineUp lineUp, long machineId)
    {
        var values = new DynamicParameters(lineUp);
        values.Add("machineId", machineId);
        return values;
    }

    private static long IdOf(SqliteConnection connection, string name) =>
        connection.ExecuteScalar<long?>("SELECT id FROM machines WHERE name = @name", new { name })
        ?? throw Fault.Incomplete(
            $"The studio has no machine \"{name}\"",
            connection.Query<string>("SELECT name FROM machines ORDER BY name").AsList() is { Count: > 0 } names
                ? $"It has {Words.List(names)}."
                : "Begin with offtape machine add NAME."
        );

    private static MachineView View(SqliteConnection connection, long id)
    {
        var hours = Hours(connection, id);
        var trends = BenchHistory.Trends(connection, id);
        return new MachineView
        {
            Machine = connection.QuerySingle<MachineEntry>($"SELECT {Columns} FROM machines WHERE id = @id", new { id }),
            Hours = hours,
            PassCount = connection.ExecuteScalar<long>("SELECT count(*) FROM passes WHERE machineId = @id", new { id }),
            LineUps = connection
                .Query<LineUp>($"SELECT {LineUpColumns} FROM lineUps WHERE machineId = @id ORDER BY at DESC, id DESC", new { id })
                .AsList(),
            Benches = BenchHistory.Benches(connection, id),
            Trends = trends,
            Upkeep = UpkeepPlan.Of(hours.Total, Done(connection, id), trends),
        };
    }

    private static Dictionary<string, (string At, double? Hours)> Done(SqliteConnection connection, long id) =>
        connection
            .Query<(string Task, string At, double? Hours)>(
                "SELECT task, at, atHours FROM upkeep WHERE machineId = @id ORDER BY at, id",
                new { id }
            )
            .GroupBy(u => u.Task)
            .ToDictionary(g => g.Key, g => (g.Last().At, g.Last().Hours));

    // A capture that was brought in twice was one run of tape.
    private static MachineHours Hours(SqliteConnection connection, long id)
    {
        double Sum(string sql) => connection.ExecuteScalar<double?>(sql, new { id }) ?? 0;
        return new MachineHours(
            Sum("SELECT hoursWhenAdded FROM machines WHERE id = @id"),
            Sum("SELECT sum(hours) FROM hours WHERE machineId = @id"),
            Sum(
                """
                SELECT sum(s.lengthSeconds) / 3600 FROM passes p JOIN sends s ON s.id = p.sendId
                WHERE p.machineId = @id AND EXISTS (SELECT 1 FROM returnPasses r WHERE r.passId = p.id)
                """
            ),
            Sum(
                """
                SELECT sum(seconds) / 3600 FROM (
                    SELECT max(r.captureEndSeconds - r.captureStartSeconds) AS seconds FROM returnPasses r JOIN passes p ON p.id = r.passId
                    JOIN machines m ON m.id = p.machineId
                    WHERE p.machineId = @id AND coalesce(m.monitoring, 'rewound') <> 'off-tape' GROUP BY r.passId, r.captureId, r.number)
                """
            ),
            connection.ExecuteScalar<long>(
                "SELECT count(*) FROM passes p WHERE p.machineId = @id AND NOT EXISTS (SELECT 1 FROM returnPasses r WHERE r.passId = p.id)",
                new { id }
            )
        );
    }
}
