using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>Machines, tapes and sides by their names, compared without case. A name that is new is added, and told.</summary>
internal sealed class NameBook(SqliteConnection connection, string at, List<Notice> notices)
{
    /// <returns>The machine's number; null where no name was said.</returns>
    public long? Machine(string? name)
    {
        if (string.IsNullOrWhiteSpace(name))
            return null;
        var id = connection.ExecuteScalar<long?>("SELECT id FROM machines WHERE name = @name", new { name });
        if (id is not null)
        {
            // Known since the first time that anything names it, in whatever order that is read.
            connection.Execute("UPDATE machines SET addedAt = @at WHERE id = @id AND addedAt > @at", new { id, at });
            return id;
        }
        notices.Add(new Notice("new-machine", $"The log has a new machine, {name}."));
        return connection.ExecuteScalar<long>("INSERT INTO machines (name, addedAt) VALUES (@name, @at) RETURNING id", new { name, at });
    }

    /// <param name="tape">The tape; null: none was said.</param>
    /// <param name="side">Its side; null: the first, which is called A.</param>
    /// <param name="tapeType">What it is, where it is new.</param>
    /// <returns>The side's number; null where no tape was said.</returns>
    public long? Side(string? tape, string? side, string? tapeType)
    {
        if (string.IsNullOrWhiteSpace(tape))
            return null;
        var tapeId = connection.ExecuteScalar<long?>("SELECT id FROM tapes WHERE name = @tape", new { tape });
        if (tapeId is null)
        {
            notices.Add(new Notice("new-tape", $"The log has a new tape, {tape}."));
            tapeId = connection.ExecuteScalar<long>(
                "INSERT INTO tapes (name, tapeType, addedAt) VALUES (@tape, @tapeType, @at) RETURNING id",
                new
                {
                    tape,
                    tapeType,
                    at,
                }
            );
        }
        else
            connection.Execute("UPDATE tapes SET addedAt = @at WHERE id = @tapeId AND addedAt > @at", new { tapeId, at });
        var name = string.IsNullOrWhiteSpace(side) ? "A" : side;
        return connection.ExecuteScalar<long?>("SELECT id FROM sides WHERE tapeId = @tapeId AND name = @name", new { tapeId, name })
            ?? connection.ExecuteScalar<long>(
                "INSERT INTO sides (tapeId, name) VALUES (@tapeId, @name) RETURNING id",
                new { tapeId, name }
            );
    }
}
