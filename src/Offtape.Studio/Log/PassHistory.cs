using Dapper;

namespace Offtape.Studio;

/// <summary>What came back of a pass, and the takes that were cut of it.</summary>
public sealed class PassHistory(StudioStore store)
{
    /// <summary>Each time a pass was heard, the newest first; empty where it never was, or the log has no such pass.</summary>
    public IReadOnlyList<LoggedReturn> Of(string passId) =>
        store.Read<IReadOnlyList<LoggedReturn>>(c =>
        {
            var returns = c.Query<ReturnRow>(
                    """
                    SELECT r.id AS Id, r.at AS At, r.retime AS Retime, rp.captureId AS CaptureId, cf.path AS Capture, sf.path AS Sheet,
                        rp.captureStartSeconds AS CaptureStartSeconds, rp.captureEndSeconds AS CaptureEndSeconds,
                        rp.speedRatio AS SpeedRatio, rp.complete AS Complete
                    FROM returnPasses rp JOIN returns r ON r.id = rp.returnId JOIN passes p ON p.id = rp.passId
                    JOIN sends s ON s.id = p.sendId JOIN captures k ON k.id = rp.captureId JOIN files cf ON cf.id = k.fileId
                    JOIN files sf ON sf.id = r.sheetFileId
                    WHERE s.passId = @passId ORDER BY r.at DESC, r.id DESC, rp.position
                    """,
                    new { passId }
                )
                .AsList();
            var takes = c.Query<TakeRow>(
                    """
                    SELECT t.id AS Id, t.returnId AS ReturnId, t.captureId AS CaptureId, t.sourceName AS Source, t.found AS Found,
                        t.complete AS Complete, t.confidence AS Confidence, t.captureStartSeconds AS CaptureStartSeconds,
                        t.speedRatio AS SpeedRatio, t.wobblePeakCents AS WobblePeakCents
                    FROM takes t JOIN passes p ON p.id = t.passId JOIN sends s ON s.id = p.sendId
                    WHERE s.passId = @passId ORDER BY t.returnId, t.position
                    """,
                    new { passId }
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
            bool Belongs(TakeRow take, ReturnRow line) =>
                take.ReturnId == line.Id
                && (
                    take.CaptureId is { } capture && captures.Contains((line.Id, capture))
                        ? capture == line.CaptureId && IsFirst(returns, line)
                        : ReferenceEquals(first[line.Id], line)
                );
            return [.. returns.Select(r => r.ToReturn([.. takes.Where(t => Belongs(t, r)).Select(t => t.ToTake([.. files[t.Id]]))]))];
        });

    // One capture may hold the pass twice: its takes are told once.
    private static bool IsFirst(List<ReturnRow> returns, ReturnRow line) =>
        ReferenceEquals(returns.Find(r => r.Id == line.Id && r.CaptureId == line.CaptureId), line);

    private sealed record ReturnRow
    {
        public long Id { get; init; }
        public string At { get; init; } = "";
        public string Retime { get; init; } = "";
        public long CaptureId { get; init; }
        public string Capture { get; init; } = "";
        public string Sheet { get; init; } = "";
        public double? CaptureStartSeconds { get; init; }
        public double? CaptureEndSeconds { get; init; }
        public double? SpeedRatio { get; init; }
        public bool Complete { get; init; }

        public LoggedReturn ToReturn(IReadOnlyList<LoggedTake> takes) =>
            new()
            {
                At = At,
                Retime = Retime,
                Capture = Capture,
                CaptureStartSeconds = CaptureStartSeconds,
                CaptureEndSeconds = CaptureEndSeconds,
                SpeedRatio = SpeedRatio,
                IsComplete = Complete,
                Sheet = Sheet,
                Takes = takes,
            };
    }

    private sealed record TakeRow
    {
        public long Id { get; init; }
        public long ReturnId { get; init; }
        public long? CaptureId { get; init; }
        public string Source { get; init; } = "";
        public bool Found { get; init; }
        public bool Complete { get; init; }
        public double Confidence { get; init; }
        public double? CaptureStartSeconds { get; init; }
        public double? SpeedRatio { get; init; }
        public double? WobblePeakCents { get; init; }

        public LoggedTake ToTake(IReadOnlyList<LoggedTakeFile> files) =>
            new()
            {
                Source = Source,
                IsFound = Found,
                IsComplete = Complete,
                Confidence = Confidence,
                CaptureStartSeconds = CaptureStartSeconds,
                SpeedRatio = SpeedRatio,
                WobblePeakCents = WobblePeakCents,
                Files = files,
            };
    }
}
