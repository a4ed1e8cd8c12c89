using System.Text.Json;
using Dapper;
using Offtape.Base;
using Offtape.Passes;

namespace Offtape.Studio;

/// <summary>Runs a return again from the stored capture, as it was asked for then.</summary>
public sealed class LogRerun(StudioStore store)
{
    /// <summary>The last return of a pass, as it was asked for, with its files where they lie now.</summary>
    /// <param name="passId">The pass.</param>
    /// <param name="targetFolder">Where the takes go.</param>
    /// <param name="force">Replace takes that exist there.</param>
    /// <param name="cancellation">Stops it.</param>
    /// <exception cref="Fault">Incomplete: there is no such return; input: its capture is gone or has changed.</exception>
    public (ReturnRequest Request, long ReturnId) Prepare(string passId, string targetFolder, bool force, CancellationToken cancellation)
    {
        var (id, request) = store.Read(c =>
            c.QueryFirstOrDefault<(long, string?)>(
                """
                SELECT r.id, r.request FROM returns r JOIN returnPasses p ON p.returnId = r.id JOIN passes x ON x.id = p.passId JOIN sends s ON s.id = x.sendId
                WHERE s.passId = @passId ORDER BY r.at DESC, r.id DESC
                """,
                new { passId }
            )
        );
        if (id == 0)
            throw Fault.Incomplete(
                $"The log has no return of a pass \"{passId}\"",
                "log list shows the passes, and how often each came back."
            );
        if (request is null)
            throw Fault.Incomplete("That return was made by an older program, which did not note what was asked", "Run return by hand.");
        var asked = JsonSerializer.Deserialize(request, LogJson.Default.ReturnAsked)!;
        string[] captures = [.. asked.Captures.Select(f => Unchanged(f, cancellation))];
        // A place set by hand names its capture without a folder; the capture may lie elsewhere now.
        var byName = asked.Captures.Zip(captures).ToLookup(c => Path.GetFileName(c.First), c => c.Second);
        asked = asked with
        {
            Captures = captures,
            With = [.. asked.With.Select(f => Unchanged(f, cancellation))],
            Passes = [.. asked.Passes.Select(Sheet)],
            Sources = [.. asked.Sources.Select(store.Paths.ToFull)],
            Held = [.. asked.Held.Select(h => h with { Capture = byName[h.Capture].FirstOrDefault(h.Capture) })],
        };
        return (asked.Again(targetFolder, force) with { MadeAt = DateTime.UtcNow }, id);
    }

    /// <summary>Which takes of a new return are, byte for byte, those of an earlier one.</summary>
    public RerunComparison Compare(long returnId, ReturnSheet again, string targetFolder, CancellationToken cancellation)
    {
        var before = store.Read(c =>
            c.Query<(string Source, string Retiming, string Sha256)>(
                    """
                    SELECT t.sourceName, x.retiming, f.sha256 FROM takes t JOIN takeFiles x ON x.takeId = t.id JOIN files f ON f.id = x.fileId
                    WHERE t.returnId = @returnId
                    """,
                    new { returnId }
                )
                .ToHashSet()
        );
        var (same, different) = (new List<string>(), new List<string>());
        foreach (var take in again.Takes)
        foreach (var (retiming, file) in take.Files)
        {
            var digest = FileDigest.Of(Path.Combine(targetFolder, file), null, cancellation);
            (before.Contains((take.Source, retiming, digest)) ? same : different).Add(file);
        }
        return new RerunComparison(same, different);
    }

    /// <summary>Where a capture lies now, under its name or another, with the content it had.</summary>
    private string Unchanged(string stored, CancellationToken cancellation)
    {
        var digests = store.Read(c => c.Query<string>("SELECT sha256 FROM files WHERE path = @stored", new { stored }).ToHashSet());
        var path = store.Paths.ToFull(stored);
        if (File.Exists(path))
            return digests.Count == 0 || digests.Contains(FileDigest.Of(path, null, cancellation))
                ? path
                : throw Fault.Input(
                    path,
                    "it is not the capture that the log knows: its content has changed",
                    null,
                    "log verify tells what else has."
                );
        var elsewhere = store.Read(c =>
            c.Query<string>("SELECT path FROM files WHERE sha256 IN @digests AND path <> @stored", new { digests, stored }).ToArray()
        );
        return elsewhere.Select(store.Paths.ToFull).FirstOrDefault(File.Exists)
            ?? throw Fault.Input(path, "there is no such file", null, "Bring it back, or note where it lies now with log verify --follow.");
    }

    /// <summary>The pass sheet where it lies now.</summary>
    private string Sheet(string stored)
    {
        var path = store.Paths.ToFull(stored);
        if (File.Exists(path) || Directory.Exists(path))
            return path;
        // By the sends whose sheet lay there: a file that moved has a new path in the log.
        var name = stored.EndsWith(PassSheet.FileName, StringComparison.Ordinal) ? stored : stored.TrimEnd('/') + "/" + PassSheet.FileName;
        var now = store.Read(c =>
            c.ExecuteScalar<string?>(
                """
                SELECT n.path FROM files o JOIN files n ON n.sha256 = o.sha256 AND n.replacedAt IS NULL WHERE o.path = @name ORDER BY n.id DESC
                """,
                new { name }
            )
        );
        return now is null ? path : store.Paths.ToFull(now);
    }
}

/// <summary>Takes of a return that was run again, against those of the first.</summary>
/// <param name="Same">Byte for byte.</param>
/// <param name="Different">Other bytes, or not there before.</param>
public sealed record RerunComparison(IReadOnlyList<string> Same, IReadOnlyList<string> Different);
