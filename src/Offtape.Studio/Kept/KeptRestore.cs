using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>Takes in what the kept files say and the database has not. Doing it again changes nothing.</summary>
internal sealed class KeptRestore(SqliteConnection connection)
{
    /// <summary>Machines and tapes of a studio folder, for a database that was made just now. What cannot be read is left to log rebuild, which tells it.</summary>
    public static void TakeIn(StudioStore store)
    {
        foreach (
            var (folder, ending) in new[]
            {
                (KeptNames.MachineFolder, KeptNames.MachineEnding),
                (KeptNames.TapeFolder, KeptNames.TapeEnding),
            }
        )
        {
            var full = Path.Combine(store.Folder, folder);
            if (!Directory.Exists(full))
                continue;
            foreach (var path in Directory.GetFiles(full, "*" + ending).Order(StringComparer.Ordinal))
            {
                try
                {
                    store.Write(c => new KeptRestore(c).File(path));
                }
                catch (Fault fault) when (fault.ExitCode == ExitCode.InputUnreadable) { }
            }
        }
    }

    /// <returns>Whether the database had not all of it.</returns>
    /// <exception cref="Fault">Input: it cannot be read.</exception>
    public bool File(string path) =>
        path.EndsWith(KeptNames.MachineEnding, StringComparison.Ordinal)
            ? Machine(
                KeptJson.Load(path, "what was typed of a machine", KeptJson.Context.KeptMachine, k => k.Machine.Name.Trim().Length > 0)
            )
            : Tape(KeptJson.Load(path, "what was typed of a tape", KeptJson.Context.KeptTape, k => k.Name.Trim().Length > 0));

    private bool Machine(KeptMachine kept)
    {
        var machine = kept.Machine;
        var isNew = PutNamed("machines", machine.Name, kept.AddedAt, kept.RetiredAt);
        connection.Execute(
            """
            UPDATE machines SET kind = coalesce(kind, @Kind), monitoring = coalesce(monitoring, @Monitoring),
                speedsCmPerSecond = coalesce(speedsCmPerSecond, @SpeedsCmPerSecond), trackFormat = coalesce(trackFormat, @TrackFormat),
                headDistanceMm = coalesce(headDistanceMm, @HeadDistanceMm), mainsHz = coalesce(mainsHz, @MainsHz),
                hoursWhenAdded = CASE WHEN hoursWhenAdded = 0 THEN coalesce(@HoursWhenAdded, 0) ELSE hoursWhenAdded END,
                note = CASE WHEN note = '' THEN coalesce(@Note, '') ELSE note END
            WHERE name = @Name
            """,
            machine with
            {
                TrackFormat = machine.TrackFormat is { } word ? TrackFormatNames.Spelled(word) : null,
            }
        );
        var machineId = connection.ExecuteScalar<long>("SELECT id FROM machines WHERE name = @Name", machine);
        var count = PutLines(
            "lineUps",
            kept.LineUps.Select(l =>
                Line(
                    ("machineId", machineId),
                    ("at", l.At),
                    ("sendDbfsAtZero", l.SendDbfsAtZero),
                    ("returnDbfsAtZero", l.ReturnDbfsAtZero),
                    ("trimDb", l.TrimDb),
                    ("speedCmPerSecond", l.SpeedCmPerSecond),
                    ("tapeType", l.TapeType),
                    ("note", l.Note)
                )
            )
        ).Count;
        count += PutLines(
            "hours",
            kept.Hours.Select(h => Line(("machineId", machineId), ("at", h.At), ("hours", h.Hours), ("note", h.Note)))
        ).Count;
        count += PutLines(
            "upkeep",
            kept.Upkeep.Select(u =>
                Line(("machineId", machineId), ("at", u.At), ("task", u.Task), ("atHours", u.AtHours), ("note", u.Note))
            )
        ).Count;
        StretchBook.ResolveMachine(connection, machineId);
        return isNew || count > 0;
    }

    private bool Tape(KeptTape kept)
    {
        var isNew = PutNamed("tapes", kept.Name, kept.AddedAt, kept.RetiredAt);
        connection.Execute(
            """
            UPDATE tapes SET format = coalesce(format, @Format), tapeType = coalesce(tapeType, @TapeType),
                lengthMetres = coalesce(lengthMetres, @LengthMetres), thicknessMicrometres = coalesce(thicknessMicrometres, @ThicknessMicrometres),
                trackFormat = coalesce(trackFormat, @TrackFormat), note = CASE WHEN note = '' THEN @Note ELSE note END
            WHERE name = @Name
            """,
            kept
        );
        var tapeId = connection.ExecuteScalar<long>("SELECT id FROM tapes WHERE name = @Name", kept);
        var count = 0;
        foreach (var side in kept.Sides)
            count += Side(tapeId, side);
        StretchBook.ResolveTape(connection, tapeId);
        return isNew || count > 0;
    }

    private int Side(long tapeId, KeptSide kept)
    {
        connection.Execute("INSERT OR IGNORE INTO sides (tapeId, name) VALUES (@tapeId, @Name)", new { tapeId, kept.Name });
        var sideId = connection.ExecuteScalar<long>(
            "SELECT id FROM sides WHERE tapeId = @tapeId AND name = @Name",
            new { tapeId, kept.Name }
        );
        connection.Execute(
            "UPDATE sides SET lengthMetres = coalesce(lengthMetres, @LengthMetres), note = CASE WHEN note = '' THEN @Note ELSE note END WHERE id = @sideId",
            new
            {
                kept.LengthMetres,
                kept.Note,
                sideId,
            }
        );
        var stretches = PutLines(
            "stretches",
            kept.Stretches.Select(s =>
                Line(
                    ("sideId", sideId),
                    ("passId", null),
                    ("at", s.At),
                    ("startSeconds", s.StartSeconds),
                    ("endSeconds", s.EndSeconds),
                    ("speedCmPerSecond", s.SpeedCmPerSecond),
                    ("tracks", s.Tracks),
                    ("timesTyped", s.TimesTyped),
                    ("note", s.Note)
                )
            )
        );
        foreach (var id in stretches)
            StretchBook.Count(connection, sideId, id);
        var names = new NameBook(connection, kept.CounterMarks.Select(m => m.At).Order(StringComparer.Ordinal).FirstOrDefault() ?? "", []);
        return stretches.Count
            + PutLines(
                "counterMarks",
                kept.CounterMarks.Select(m =>
                    Line(
                        ("machineId", names.Machine(m.Machine)),
                        ("sideId", sideId),
                        ("counter", m.Counter),
                        ("metres", m.Metres),
                        ("at", m.At)
                    )
                )
            ).Count;
    }

    private bool PutNamed(string table, string name, string addedAt, string? retiredAt)
    {
        var values = new
        {
            name,
            addedAt,
            retiredAt,
        };
        var isNew =
            connection.Execute($"INSERT OR IGNORE INTO {table} (name, addedAt, retiredAt) VALUES (@name, @addedAt, @retiredAt)", values)
            > 0;
        // A sheet may have named it before its own file was read.
        connection.Execute($"UPDATE {table} SET addedAt = @addedAt WHERE name = @name AND addedAt > @addedAt", values);
        return isNew;
    }

    private static (string Name, object? Value)[] Line(params (string Name, object? Value)[] line) => line;

    /// <summary>Puts lines in as often as they are kept more often than the table has them: two that are alike are two.</summary>
    /// <returns>Numbers of the new ones.</returns>
    private List<long> PutLines(string table, IEnumerable<(string Name, object? Value)[]> lines)
    {
        var made = new List<long>();
        foreach (
            var alike in lines.GroupBy(l =>
                string.Join('\u001f', l.Select(c => c.Value is null ? "\0" : FormattableString.Invariant($"{c.Value}")))
            )
        )
        {
            var line = alike.First();
            var values = new DynamicParameters();
            foreach (var (name, value) in line)
                values.Add(name, value);
            var known = connection.ExecuteScalar<int>(
                $"SELECT count(*) FROM {table} WHERE {string.Join(" AND ", line.Select(c => $"{c.Name} IS @{c.Name}"))}",
                values
            );
            for (var n = known; n < alike.Count(); n++)
                made.Add(
                    connection.ExecuteScalar<long>(
                        $"INSERT INTO {table} ({string.Join(", ", line.Select(c => c.Name))}) VALUES ({string.Join(", ", line.Select(c => "@" + c.Name))}) RETURNING id",
                        values
                    )
                );
        }
        return made;
    }
}
