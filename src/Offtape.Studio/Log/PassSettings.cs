using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.Base;
using Offtape.Passes;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>Notes afterwards what was not said when a pass was sent.</summary>
public sealed class PassSettings(StudioStore store)
{
    /// <summary>What is said replaces what the log has; what is null leaves it, unless it is to be emptied.</summary>
    /// <returns>Machines and tapes that are new.</returns>
    /// <exception cref="Fault">Usage: a fact is said and emptied. Incomplete: there is no such pass.</exception>
    public IReadOnlyList<Notice> Set(
        string passId,
        SheetRun run,
        double? speedCmPerSecond,
        IReadOnlyCollection<PassFact> emptied,
        DateTime now
    ) =>
        store.Write(c =>
        {
            if (emptied.FirstOrDefault(f => f.IsSaid(run, speedCmPerSecond)) is { } both)
                throw Fault.Usage($"{both.Name} is to be emptied and noted at once", "Leave out one of them.");
            var id =
                SendRecord.PassOf(c, passId) ?? throw Fault.Incomplete($"The log has no pass \"{passId}\"", "log list shows what it has.");
            var notices = new List<Notice>();
            Empty(c, id, emptied);
            Apply(c, id, run, speedCmPerSecond, Words.Moment(now), notices);
            StretchBook.Move(c, id);
            var kept = new KeptFiles(c, store.Paths);
            kept.Pass(id);
            if (run.Machine is { } machine)
                kept.Machine(machine);
            if (run.Tape is { } tape)
                kept.Tape(tape);
            return notices;
        });

    /// <summary>Takes facts of a pass away, without its stretch.</summary>
    internal static void Empty(SqliteConnection connection, long id, IEnumerable<PassFact> facts)
    {
        foreach (var fact in facts)
            connection.Execute($"UPDATE passes SET {fact.Empties} WHERE id = @id", new { id });
    }

    /// <summary>Writes settings into the pass, without its stretch.</summary>
    internal static void Apply(
        SqliteConnection connection,
        long id,
        SheetRun run,
        double? speedCmPerSecond,
        string at,
        List<Notice> notices
    )
    {
        var names = new NameBook(connection, at, notices);
        connection.Execute(
            """
            UPDATE passes SET machineId = coalesce(@machineId, machineId), sideId = coalesce(@sideId, sideId),
                speedCmPerSecond = coalesce(@speed, speedCmPerSecond), startCounter = coalesce(@StartCounter, startCounter),
                startSeconds = coalesce(@StartSeconds, startSeconds), pitchPercent = coalesce(@PitchPercent, pitchPercent),
                inputLevel = coalesce(@InputLevel, inputLevel), noiseReduction = coalesce(@NoiseReduction, noiseReduction),
                tapeType = coalesce(@TapeType, tapeType), note = coalesce(@Note, note), tapeTracks = coalesce(@tapeTracks, tapeTracks)
            WHERE id = @id
            """,
            new
            {
                id,
                machineId = names.Machine(run.Machine),
                sideId = names.Side(run.Tape, run.Side, run.TapeType),
                speed = speedCmPerSecond,
                run.StartCounter,
                run.StartSeconds,
                run.PitchPercent,
                run.InputLevel,
                run.NoiseReduction,
                run.TapeType,
                run.Note,
                tapeTracks = TrackList.ToStored(run.TapeTracks ?? []),
            }
        );
        CheckTracks(connection, id);
    }

    private static void CheckTracks(SqliteConnection connection, long id)
    {
        var (tracks, side, word) = connection.QuerySingle<(string? Tracks, string? Side, string? Format)>(
            """
            SELECT p.tapeTracks, d.name, t.trackFormat FROM passes p LEFT JOIN sides d ON d.id = p.sideId LEFT JOIN tapes t ON t.id = d.tapeId
            WHERE p.id = @id
            """,
            new { id }
        );
        if (side is null || word is null || TrackFormatNames.Find(word) is not { } format)
            return;
        int[] own = [.. format.Tracks.Where(t => t.Side.Equals(side, StringComparison.OrdinalIgnoreCase)).Select(t => t.Number)];
        if (own.Length > 0 && TrackList.Parse(tracks).FirstOrDefault(t => !own.Contains(t)) is var wrong and > 0)
            throw Fault.Incomplete(
                $"Side {side} has no track {wrong}",
                $"It has {Words.List([.. own.Select(t => $"{t}")])}, as the tape's format numbers them."
            );
    }
}
