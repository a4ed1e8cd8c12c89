using Dapper;
using Microsoft.Data.Sqlite;

namespace Offtape.Studio;

/// <summary>The benches of a machine laid side by side. Only what was read in the same way and at the same speed is compared.</summary>
internal static class BenchHistory
{
    public static IReadOnlyList<LoggedBench> Benches(SqliteConnection connection, long machineId) =>
        connection
            .Query<LoggedBench>(
                """
                SELECT substr(b.at, 1, 10) AS Day, b.how AS How, b.speedCmPerSecond AS SpeedCmPerSecond, b.summary AS Summary, f.path AS Report
                FROM benches b LEFT JOIN files f ON f.id = b.fileId WHERE b.machineId = @machineId ORDER BY b.at, b.id
                """,
                new { machineId }
            )
            .AsList();

    public static IReadOnlyList<BenchTrend> Trends(SqliteConnection connection, long machineId) =>
        [
            .. connection
                .Query<Row>(
                    """
                    SELECT b.at AS At, b.how AS How, b.speedCmPerSecond AS Speed, r.quantity AS Quantity, r.channel AS Channel, r.condition AS Condition,
                        r.unit AS Unit, r.value AS Value, r.uncertainty AS Uncertainty
                    FROM benchReadings r JOIN benches b ON b.id = r.benchId
                    WHERE b.machineId = @machineId AND r.value IS NOT NULL ORDER BY b.at, b.id
                    """,
                    new { machineId }
                )
                .GroupBy(r => (r.Quantity, r.Channel, r.Condition, r.Unit, r.How, r.Speed))
                .Where(g => g.Count() > 1)
                .Select(g => Trend([.. g])),
        ];

    private static BenchTrend Trend(IReadOnlyList<Row> rows)
    {
        var days = rows.Select(r => DateTime.Parse(r.At[..10]).Subtract(DateTime.UnixEpoch).TotalDays).ToArray();
        var span = days[^1] - days[0];
        var line = TrendFit.Fit(days, [.. rows.Select(r => r.Value)], [.. rows.Select(r => r.Uncertainty)]);
        return new BenchTrend
        {
            Quantity = rows[0].Quantity,
            Channel = rows[0].Channel,
            Condition = rows[0].Condition,
            Unit = rows[0].Unit,
            Points = [.. rows.Select(r => new BenchPoint(r.At[..10], r.Value, r.Uncertainty))],
            SpanDays = span,
            Change = line?.Slope * span,
            ChangeUncertainty = line?.SlopeUncertainty * span,
            Reason =
                line is not null ? null
                : span <= 0 ? "all of one day"
                : "two figures whose uncertainty is not known; a third bench will tell",
        };
    }

    private sealed record Row
    {
        public string At { get; init; } = "";
        public string How { get; init; } = "";
        public double? Speed { get; init; }
        public string Quantity { get; init; } = "";
        public int? Channel { get; init; }
        public string Condition { get; init; } = "";
        public string Unit { get; init; } = "";
        public double Value { get; init; }
        public double? Uncertainty { get; init; }
    }
}

/// <summary>A bench in the history of a machine.</summary>
public sealed record LoggedBench
{
    /// <summary>YYYY-MM-DD.</summary>
    public string Day { get; init; } = "";

    /// <summary><c>off-tape</c>, <c>rewound</c>, <c>foreign-tape</c>.</summary>
    public string How { get; init; } = "";
    public double? SpeedCmPerSecond { get; init; }
    public string Summary { get; init; } = "";

    /// <summary>Where its bench.json lies.</summary>
    public string? Report { get; init; }
}
