using Dapper;

namespace Offtape.Studio;

/// <summary>What came back of a pass, and the takes that were cut of it.</summary>
public sealed class PassHistory(StudioStore store)
{
    /// <summary>Each time a pass was heard, the newest first; empty where it never was, or the log has no such pass.</summary>
    public IReadOnlyList<LoggedReturn> Of(string passId) =>
        store.Read<IReadOnlyList<LoggedReturn>>(c =>
        {
            var returns = c.Query<ReturnKey, LoggedReturn, ReturnLine>(
                    """
                    SELECT r.id AS Id, rp.captureId AS CaptureId, r.at AS At, r.retime AS Retime, cf.path AS Capture, sf.path AS Sheet,
                        rp.captureStartSeconds AS CaptureStartSeconds, rp.captureEndSeconds AS CaptureEndSeconds,
                        rp.speedRatio AS SpeedRatio, rp.complete AS IsComplete
                    FROM returnPasses rp JOIN returns r ON r.id = rp.returnId JOIN passes p ON p.id = rp.passId
                    JOIN sends s ON s.id = p.sendId JOIN captures k ON k.id = rp.captureId JOIN files cf ON cf.id = k.fileId
                    JOIN files sf ON sf.id = r.sheetFileId
                    WHERE s.passId = @passId ORDER BY r.at DESC, r.id DESC, rp.position
                    """,
                    (key, back) => new ReturnLine(key.Id, key.CaptureId, back),
                    new { passId },
                    splitOn: nameof(LoggedReturn.At)
                )
                .AsList();
            var takes = c.Query<TakeKey, LoggedTake, TakeLine>(
                    """
                    SELECT t.id AS Id, t.returnId AS ReturnId, t.captureId AS CaptureId, t.sourceName AS Source, t.found AS IsFound,
                        t.complete AS IsComplete, t.confidence AS Confidence, t.captureStartSeconds AS CaptureStartSeconds,
                        t.speedRatio AS SpeedRatio, t.wobblePeakCents AS WobblePeakCents
                    FROM takes t JOIN passes p ON p.id = t.passId JOIN sends s ON s.id = p.sendId
                    WHERE s.passId = @passId ORDER BY t.returnId, t.position
                    """,
                    (key, take) => new TakeLine(key, take),
                    new { passId },
                    splitOn: nameof(LoggedTake.Source)
                )
                .AsList();
            var files = c.Query<(long TakeId, string Retiming, string Path)>(
                    """
                    SELECT tf.takeId, tf.retiming, f.path FROM takeFiles tf JOIN files f ON f.id = tf.fileId JOIN takes t ON t.id = tf.takeId
                    JOIN passes p ON p.id = t.passId JOIN sends s ON s.id = p.sendId WHERE s.passId = @passId ORDER BY f.path
                    """,
                    new { passId }
                )
                .ToLookup(f => f.TakeId, f => new LoggedTakeFile(f.Retiming, f.Path));
            // A take that is in no capture belongs to the first line of its return: it was looked for in all of them.
            var first = returns.GroupBy(r => r.Id).ToDictionary(g => g.Key, g => g.First());
            var captures = returns.Select(r => (r.Id, r.CaptureId)).ToHashSet();
            bool Belongs(TakeKey take, ReturnLine line) =>
                take.ReturnId == line.Id
                && (
                    take.CaptureId is { } capture && captures.Contains((line.Id, capture))
                        ? capture == line.CaptureId && IsFirst(returns, line)
                        : ReferenceEquals(first[line.Id], line)
                );
            return
            [
                .. returns.Select(r =>
                    r.Return with
                    {
                        Takes = [.. takes.Where(t => Belongs(t.Key, r)).Select(t => t.Take with { Files = [.. files[t.Key.Id]] })],
                    }
                ),
            ];
        });

    // One capture may hold the pass twice: its takes are told once.
    private static bool IsFirst(List<ReturnLine> returns, ReturnLine line) =>
        ReferenceEquals(returns.Find(r => r.Id == line.Id && r.CaptureId == line.CaptureId), line);

    /// <summary>What stands beside a return and a take in a line of the answer.</summary>
    private sealed record ReturnKey
    {
        public long Id { get; init; }
        public long CaptureId { get; init; }
    }

    private sealed record ReturnLine(long Id, long CaptureId, LoggedReturn Return);

    private sealed record TakeKey
    {
        public long Id { get; init; }
        public long ReturnId { get; init; }
        public long? CaptureId { get; init; }
    }

    private sealed record TakeLine(TakeKey Key, LoggedTake Take);
}
