using System.Text.Json.Serialization.Metadata;
using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Passes;

namespace Offtape.Studio;

/// <summary>
/// Keeps what was typed also as small files in the studio folder, beside what they tell of, so that a database that is lost can be made again with
/// all of it. A file is written before its transaction ends: where it cannot be, nothing is noted.
/// </summary>
internal sealed class KeptFiles(SqliteConnection connection, StudioPaths paths)
{
    /// <summary>What a machine's file says is what the database has.</summary>
    /// <exception cref="Fault">Output: it cannot be written.</exception>
    public void Machine(string name)
    {
        if (MachineOf(name) is { } kept)
            Write(KeptNames.Machine(paths.Root, kept.Machine.Name), kept, KeptJson.Context.KeptMachine);
    }

    /// <inheritdoc cref="Machine"/>
    public void Tape(string name)
    {
        if (TapeOf(name) is { } kept)
            Write(KeptNames.Tape(paths.Root, kept.Name), kept, KeptJson.Context.KeptTape);
    }

    /// <inheritdoc cref="Machine"/>
    public void Pass(long id, string? removedAt = null)
    {
        var kept = PassOf(id) with { RemovedAt = removedAt };
        Write(PathOf(kept.PassId), kept, KeptJson.Context.KeptPass);
    }

    /// <summary>Machines and tapes that have no file yet.</summary>
    /// <inheritdoc cref="Machine"/>
    public void KeepMissing()
    {
        foreach (var name in connection.Query<string>("SELECT name FROM machines").AsList())
            if (!File.Exists(KeptNames.Machine(paths.Root, name)))
                Machine(name);
        foreach (var name in connection.Query<string>("SELECT name FROM tapes").AsList())
            if (!File.Exists(KeptNames.Tape(paths.Root, name)))
                Tape(name);
    }

    /// <summary>Passes of which the log has more than their sheets, and that have no file yet.</summary>
    /// <inheritdoc cref="Machine"/>
    public void KeepMissingPasses()
    {
        var rows = connection
            .Query<(long Id, string PassId, string Sheet)>(
                "SELECT p.id, s.passId, f.path FROM passes p JOIN sends s ON s.id = p.sendId JOIN files f ON f.id = s.sheetFileId WHERE f.replacedAt IS NULL"
            )
            .AsList();
        foreach (var (id, passId, sheet) in rows)
        {
            var path = paths.ToFull(sheet);
            if (File.Exists(PathOf(passId)) || !File.Exists(path) || Sheet(path) is not { } said || said.PassId != passId)
                continue;
            var kept = PassOf(id);
            if (Text(kept) != Text(kept with { SpeedCmPerSecond = said.SpeedCmPerSecond, Run = said.Run ?? new SheetRun(), Emptied = [] }))
                Pass(id);
        }
    }

    /// <summary>What was typed of the pass of a sheet; null: nothing.</summary>
    /// <exception cref="Fault">Input: its file cannot be read.</exception>
    public static KeptPass? NoteOf(StudioPaths paths, string sheetPath, string passId) =>
        new[] { KeptNames.PassBeside(sheetPath), KeptNames.PassElsewhere(paths.Root, passId) }
            .Where(File.Exists)
            .Select(LoadPass)
            .FirstOrDefault(k => k.PassId == passId);

    /// <summary>Where a pass's file lies: beside its sheet, where that is in the studio folder.</summary>
    public string PathOf(string passId)
    {
        var sheet = SheetPathOf(passId);
        return sheet is not null && !Path.IsPathRooted(sheet) && File.Exists(paths.ToFull(sheet))
            ? KeptNames.PassBeside(paths.ToFull(sheet))
            : KeptNames.PassElsewhere(paths.Root, passId);
    }

    private static KeptPass LoadPass(string path) =>
        KeptJson.Load(path, "what was typed of a pass", KeptJson.Context.KeptPass, k => k.PassId.Length > 0);

    private static PassSheet? Sheet(string path)
    {
        try
        {
            return PassSheet.Load(path);
        }
        catch (Fault)
        {
            return null;
        }
    }

    private static string Text(KeptPass kept) => KeptJson.Write(kept, KeptJson.Context.KeptPass);

    private KeptPass PassOf(long id)
    {
        var (passId, tracks) = connection.QuerySingle<(string, string?)>(
            "SELECT s.passId, p.tapeTracks FROM passes p JOIN sends s ON s.id = p.sendId WHERE p.id = @id",
            new { id }
        );
        var run = connection.QuerySingle<SheetRun>(
            """
            SELECT m.name AS Machine, t.name AS Tape, d.name AS Side, p.startCounter AS StartCounter, p.startSeconds AS StartSeconds,
                p.pitchPercent AS PitchPercent, p.inputLevel AS InputLevel, p.noiseReduction AS NoiseReduction, p.tapeType AS TapeType,
                nullif(p.note, '') AS Note
            FROM passes p LEFT JOIN machines m ON m.id = p.machineId LEFT JOIN sides d ON d.id = p.sideId LEFT JOIN tapes t ON t.id = d.tapeId
            WHERE p.id = @id
            """,
            new { id }
        );
        var kept = new KeptPass
        {
            FormatVersion = KeptJson.FormatVersion,
            PassId = passId,
            SpeedCmPerSecond = connection.ExecuteScalar<double?>("SELECT speedCmPerSecond FROM passes WHERE id = @id", new { id }),
            Run = run with { TapeTracks = tracks is null ? null : TrackList.Parse(tracks) },
        };
        return kept with { Emptied = EmptiedOf(kept, passId) };
    }

    // What the sheet says would come back with it when the database is made again.
    private IReadOnlyList<string> EmptiedOf(KeptPass kept, string passId)
    {
        var sheet = SheetPathOf(passId) is { } path && File.Exists(paths.ToFull(path)) ? Sheet(paths.ToFull(path)) : null;
        if (sheet is null)
            return [];
        return
        [
            .. PassFact
                .All.Where(f => f.IsSaid(sheet.Run ?? new SheetRun(), sheet.SpeedCmPerSecond))
                .Where(f => !f.IsSaid(kept.Run!, kept.SpeedCmPerSecond))
                .Select(f => f.Name),
        ];
    }

    private string? SheetPathOf(string passId) =>
        connection.ExecuteScalar<string?>(
            "SELECT f.path FROM sends s JOIN files f ON f.id = s.sheetFileId WHERE s.passId = @passId AND f.replacedAt IS NULL",
            new { passId }
        );

    private KeptMachine? MachineOf(string name)
    {
        var (id, addedAt, retiredAt) = connection.QueryFirstOrDefault<(long, string, string?)>(
            "SELECT id, addedAt, retiredAt FROM machines WHERE name = @name",
            new { name }
        );
        if (id == 0)
            return null;
        return new KeptMachine
        {
            FormatVersion = KeptJson.FormatVersion,
            Machine = connection.QuerySingle<MachineEntry>($"SELECT {MachineBook.Columns} FROM machines WHERE id = @id", new { id }),
            AddedAt = addedAt,
            RetiredAt = retiredAt,
            LineUps = connection
                .Query<LineUp>($"SELECT {MachineBook.LineUpColumns} FROM lineUps WHERE machineId = @id ORDER BY id", new { id })
                .AsList(),
            Hours = connection
                .Query<KeptHours>("SELECT at AS At, hours AS Hours, note AS Note FROM hours WHERE machineId = @id ORDER BY id", new { id })
                .AsList(),
            Upkeep = connection
                .Query<KeptUpkeep>(
                    "SELECT at AS At, task AS Task, atHours AS AtHours, note AS Note FROM upkeep WHERE machineId = @id ORDER BY id",
                    new { id }
                )
                .AsList(),
        };
    }

    private KeptTape? TapeOf(string name)
    {
        var tape = connection.QueryFirstOrDefault<KeptTape>(
            """
            SELECT name AS Name, addedAt AS AddedAt, retiredAt AS RetiredAt, format AS Format, tapeType AS TapeType, lengthMetres AS LengthMetres,
                thicknessMicrometres AS ThicknessMicrometres, trackFormat AS TrackFormat, note AS Note
            FROM tapes WHERE name = @name
            """,
            new { name }
        );
        return tape is null
            ? null
            : tape with
            {
                FormatVersion = KeptJson.FormatVersion,
                Sides =
                [
                    .. connection
                        .Query<(long Id, string Name)>(
                            "SELECT d.id, d.name FROM sides d JOIN tapes t ON t.id = d.tapeId WHERE t.name = @name ORDER BY d.id",
                            new { name }
                        )
                        .AsList()
                        .Select(s => SideOf(s.Id)),
                ],
            };
    }

    private KeptSide SideOf(long id) =>
        connection.QuerySingle<KeptSide>(
            "SELECT name AS Name, lengthMetres AS LengthMetres, note AS Note FROM sides WHERE id = @id",
            new { id }
        ) with
        {
            Stretches = connection
                .Query<KeptStretch>(
                    """
                    SELECT at AS At, startSeconds AS StartSeconds, endSeconds AS EndSeconds, speedCmPerSecond AS SpeedCmPerSecond, tracks AS Tracks,
                        timesTyped AS TimesTyped, note AS Note
                    FROM stretches WHERE sideId = @id AND passId IS NULL ORDER BY id
                    """,
                    new { id }
                )
                .AsList(),
            CounterMarks = connection
                .Query<KeptMark>(
                    """
                    SELECT k.at AS At, m.name AS Machine, k.counter AS Counter, k.metres AS Metres
                    FROM counterMarks k LEFT JOIN machines m ON m.id = k.machineId WHERE k.sideId = @id ORDER BY k.id
                    """,
                    new { id }
                )
                .AsList(),
        };

    private static void Write<T>(string path, T value, JsonTypeInfo<T> type)
    {
        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(path, error);
        }
        SafeFile.WriteText(path, KeptJson.Write(value, type), replace: true);
    }
}
