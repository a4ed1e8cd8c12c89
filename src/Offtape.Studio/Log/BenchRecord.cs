using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.Base;
using Offtape.Bench;

namespace Offtape.Studio;

/// <summary>A bench report for the log: its readings, and the captures it was read from.</summary>
internal sealed class BenchRecord
{
    private readonly BenchReport _report;
    private readonly FileFacts _reportFile;
    private readonly IReadOnlyList<FileFacts> _captures;

    private BenchRecord(BenchReport report, FileFacts reportFile, IReadOnlyList<FileFacts> captures) =>
        (_report, _reportFile, _captures) = (report, reportFile, captures);

    /// <param name="reportPath">Path of bench.json.</param>
    /// <param name="captures">Paths of what it was read from, as far as they are known.</param>
    /// <param name="cancellation">Stops it.</param>
    /// <exception cref="Fault">Input: one of them cannot be read.</exception>
    public static BenchRecord Of(string reportPath, IEnumerable<string> captures, CancellationToken cancellation) =>
        new(
            BenchReport.Load(reportPath),
            FileFacts.Of(reportPath, FileKind.Bench, cancellation),
            [.. captures.Select(c => FileFacts.Of(c, FileKind.BenchCapture, cancellation))]
        );

    /// <summary>Writes it into the transaction that is open.</summary>
    /// <returns>Number of the bench.</returns>
    public long Put(SqliteConnection connection, StudioPaths paths, List<Notice> notices)
    {
        var at = _report.Date is { Length: > 0 } day ? day + "T00:00:00Z" : Words.Moment(File.GetLastWriteTimeUtc(_reportFile.Path));
        var files = new FileBook(connection, paths, at);
        var fileId = files.Put(_reportFile);
        // The same report again is the same bench.
        connection.Execute("DELETE FROM benches WHERE fileId = @fileId", new { fileId });
        var benchId = connection.ExecuteScalar<long>(
            """
            INSERT INTO benches (machineId, machineName, at, how, sheetId, speedCmPerSecond, summary, fileId)
            VALUES (@machineId, @machineName, @at, @how, @sheetId, @speed, @summary, @fileId) RETURNING id
            """,
            new
            {
                machineId = new NameBook(connection, at, notices).Machine(_report.Machine),
                machineName = _report.Machine,
                at,
                how = HowWords.Of(_report.How),
                sheetId = _report.SheetId,
                speed = _report.Facts.SpeedCmPerSecond,
                summary = _report.Summary,
                fileId,
            }
        );
        connection.Execute(
            """
            INSERT INTO benchReadings (benchId, quantity, channel, condition, value, unit, uncertainty, atMost)
            VALUES (@benchId, @Quantity, @Channel, @Condition, @Value, @Unit, @Uncertainty, @AtMost)
            """,
            _report.Readings.Select(r => new
            {
                benchId,
                r.Quantity,
                r.Channel,
                r.Condition,
                Value = Finite(r.Value),
                r.Unit,
                Uncertainty = Finite(r.Uncertainty),
                AtMost = Finite(r.AtMost),
            })
        );
        foreach (var capture in _captures)
            connection.Execute(
                "INSERT OR IGNORE INTO benchCaptures (benchId, fileId) VALUES (@benchId, @captureId)",
                new { benchId, captureId = files.Put(capture) }
            );
        return benchId;
    }

    private static double? Finite(double? value) => value is { } v && double.IsFinite(v) ? v : null;
}
