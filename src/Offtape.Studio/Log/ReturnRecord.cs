using System.Text.Json;
using System.Text.Json.Serialization;
using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.Base;
using Offtape.Passes;

namespace Offtape.Studio;

/// <summary>A return for the log: what was heard in which capture, and the takes that were written. Files are read before the database is touched.</summary>
internal sealed class ReturnRecord
{
    private readonly ReturnSheet _sheet;
    private readonly FileFacts _sheetFile;
    private readonly IReadOnlyDictionary<string, FileFacts> _captures;
    private readonly IReadOnlyList<FileFacts> _further;
    private readonly IReadOnlyDictionary<string, FileFacts> _takeFiles;
    private readonly IReadOnlyList<SendRecord> _sends;
    private readonly Func<string, string?> _locate;
    private readonly string _at;
    private readonly ReturnAsked? _asked;

    private ReturnRecord(
        ReturnSheet sheet,
        FileFacts sheetFile,
        IReadOnlyDictionary<string, FileFacts> captures,
        IReadOnlyList<FileFacts> further,
        IReadOnlyDictionary<string, FileFacts> takeFiles,
        IReadOnlyList<SendRecord> sends,
        Func<string, string?> locate
    )
    {
        (_sheet, _sheetFile, _captures, _further) = (sheet, sheetFile, captures, further);
        (_takeFiles, _sends, _asked, _locate) = (takeFiles, sends, sheet.Asked, locate);
        _at = sheet.MadeAt ?? Words.Moment(File.GetLastWriteTimeUtc(sheetFile.Path));
    }

    /// <summary>From what is known already; no file is read.</summary>
    public static ReturnRecord From(
        ReturnSheet sheet,
        FileFacts sheetFile,
        IReadOnlyDictionary<string, FileFacts> captures,
        IReadOnlyDictionary<string, FileFacts> takeFiles
    ) => new(sheet, sheetFile, captures, [], takeFiles, [], _ => null);

    /// <param name="sheet">What return.json says.</param>
    /// <param name="sheetPath">Its path.</param>
    /// <param name="locate">Where a file or folder that the sheet names lies, as a full path; null where it is not to be found.</param>
    /// <param name="passSheets">Paths of the pass sheets it was made with.</param>
    /// <param name="isOld">Files may have changed since.</param>
    /// <param name="cancellation">Stops it.</param>
    /// <exception cref="Fault">Input: a file of it cannot be read.</exception>
    public static ReturnRecord Of(
        ReturnSheet sheet,
        string sheetPath,
        Func<string, string?> locate,
        IEnumerable<string> passSheets,
        bool isOld,
        CancellationToken cancellation
    )
    {
        var folder = Path.GetDirectoryName(Path.GetFullPath(sheetPath))!;
        var captures = new Dictionary<string, FileFacts>();
        foreach (var capture in sheet.Captures)
            if (locate(capture.File) is { } path && File.Exists(path))
                captures[capture.File] = FileFacts.Of(path, FileKind.Capture, cancellation);
        var takeFiles = new Dictionary<string, FileFacts>();
        foreach (var file in sheet.Takes.SelectMany(t => t.Files.Values).Distinct())
        {
            var path = Path.Combine(folder, file);
            if (File.Exists(path))
                takeFiles[file] = FileFacts.Of(path, FileKind.Take, cancellation);
        }
        return new ReturnRecord(
            sheet,
            FileFacts.Of(sheetPath, FileKind.ReturnSheet, cancellation),
            captures,
            [.. (sheet.Asked?.With ?? []).Select(locate).OfType<string>().Select(p => FileFacts.Of(p, FileKind.Capture, cancellation))],
            takeFiles,
            [.. passSheets.Select(p => SendRecord.Of(p, isOld, cancellation))],
            locate
        );
    }

    /// <summary>Writes it into the transaction that is open.</summary>
    /// <returns>Number of the return.</returns>
    public long Put(SqliteConnection connection, StudioPaths paths, List<Notice> notices)
    {
        foreach (var send in _sends)
            send.Put(connection, paths, notices);
        var files = new FileBook(connection, paths, _at);
        var captureIds = _sheet
            .Captures.Where(c => _captures.ContainsKey(c.File))
            .ToDictionary(c => c.File, c => PutCapture(connection, files, c));
        foreach (var file in _further)
            files.Put(file);
        var fileIds = _takeFiles.ToDictionary(f => f.Key, f => files.Put(f.Value));
        var returnId = connection.ExecuteScalar<long>(
            "INSERT INTO returns (at, sheetFileId, retime, request) VALUES (@at, @sheetFileId, @retime, @request) RETURNING id",
            new
            {
                at = _at,
                sheetFileId = files.Put(_sheetFile),
                retime = _sheet.Retime,
                request = _asked is null ? null : JsonSerializer.Serialize(Stored(connection, _asked, paths), LogJson.Default.ReturnAsked),
            }
        );
        for (var i = 0; i < _sheet.Passes.Count; i++)
            PutRun(connection, returnId, i, _sheet.Passes[i], captureIds);
        for (var i = 0; i < _sheet.Takes.Count; i++)
            PutTake(connection, returnId, i, _sheet.Takes[i], captureIds, fileIds);
        return returnId;
    }

    /// <summary>The same with paths as the database keeps them, so that the folder can be moved.</summary>
    private ReturnAsked Stored(SqliteConnection connection, ReturnAsked asked, StudioPaths paths)
    {
        string Full(string name) => paths.ToStored(_locate(name) ?? name);
        return asked with
        {
            // The files that were heard, not the folders that were given: more may come to lie in those.
            Captures = [.. _sheet.Captures.Select(c => paths.ToStored(_captures.TryGetValue(c.File, out var f) ? f.Path : c.File))],
            With = [.. asked.With.Select(Full)],
            Passes = asked.Passes.All(p => _locate(p) is not null) ? [.. asked.Passes.Select(Full)] : SheetsHeard(connection),
            Sources = [.. asked.Sources.Select(Full)],
        };
    }

    /// <summary>Where the log has the sheets of the passes that were heard.</summary>
    private string[] SheetsHeard(SqliteConnection connection) =>
        [
            .. connection.Query<string>(
                "SELECT f.path FROM sends s JOIN files f ON f.id = s.sheetFileId WHERE s.passId IN @heard ORDER BY s.id",
                new { heard = _sheet.Passes.Select(p => p.PassId).OfType<string>().Distinct() }
            ),
        ];

    private long PutCapture(SqliteConnection connection, FileBook files, ReturnCapture capture) =>
        connection.ExecuteScalar<long>(
            """
            INSERT INTO captures (fileId, at, sampleRateHz, channelCount, lengthSeconds) VALUES (@fileId, @at, @rate, @channels, @length)
            ON CONFLICT (fileId) DO UPDATE SET lengthSeconds = @length RETURNING id
            """,
            new
            {
                fileId = files.Put(_captures[capture.File]),
                at = _at,
                rate = capture.SampleRateHz,
                channels = capture.ChannelCount,
                length = capture.LengthSeconds,
            }
        );

    private static void PutRun(
        SqliteConnection connection,
        long returnId,
        int position,
        ReturnPass run,
        Dictionary<string, long> captureIds
    )
    {
        if (!captureIds.TryGetValue(run.Capture, out var captureId))
            return;
        connection.Execute(
            """
            INSERT INTO returnPasses (returnId, position, captureId, passId, number, captureStartSeconds, captureEndSeconds, speedRatio, reversed, complete)
            VALUES (@returnId, @position, @captureId, @passId, @Number, @CaptureStartSeconds, @CaptureEndSeconds, @SpeedRatio, @Reversed, @Complete)
            """,
            new
            {
                returnId,
                position,
                captureId,
                passId = run.PassId is null ? null : SendRecord.PassOf(connection, run.PassId),
                run.Number,
                run.CaptureStartSeconds,
                run.CaptureEndSeconds,
                run.SpeedRatio,
                run.Reversed,
                run.Complete,
            }
        );
    }

    private void PutTake(
        SqliteConnection connection,
        long returnId,
        int position,
        ReturnTake take,
        Dictionary<string, long> captureIds,
        Dictionary<string, long> fileIds
    )
    {
        var passId = PassIdOf(take) is { } name ? SendRecord.PassOf(connection, name) : null;
        var takeId = connection.ExecuteScalar<long>(
            """
            INSERT INTO takes (returnId, position, passId, captureId, sourceId, sourceName, found, complete, confidence, captureStartSeconds, speedRatio,
                gainDb, noiseFloorDbfs, wobblePeakCents)
            VALUES (@returnId, @position, @passId, @captureId, @sourceId, @Source, @Found, @Complete, @Confidence, @CaptureStartSeconds, @SpeedRatio,
                @GainDb, @NoiseFloorDbfs, @WobblePeakCents)
            RETURNING id
            """,
            new
            {
                returnId,
                position,
                passId,
                captureId = take.Capture is { } file && captureIds.TryGetValue(file, out var id) ? id : (long?)null,
                sourceId = passId is null ? null : SourceOf(connection, passId.Value, take.Source),
                take.Source,
                take.Found,
                take.Complete,
                take.Confidence,
                take.CaptureStartSeconds,
                take.SpeedRatio,
                take.GainDb,
                take.NoiseFloorDbfs,
                take.WobblePeakCents,
            }
        );
        foreach (var (retiming, name2) in take.Files)
            if (fileIds.TryGetValue(name2, out var fileId))
                connection.Execute(
                    "INSERT INTO takeFiles (takeId, retiming, fileId) VALUES (@takeId, @retiming, @fileId)",
                    new
                    {
                        takeId,
                        retiming,
                        fileId,
                    }
                );
    }

    /// <summary>The pass a take is of: that of its capture and number, where one alone fits.</summary>
    private string? PassIdOf(ReturnTake take)
    {
        string[] ids =
        [
            .. _sheet
                .Passes.Where(p => p.PassId is not null && p.Capture == take.Capture && (take.Pass is null || p.Number == take.Pass))
                .Where(p =>
                    take.CaptureStartSeconds is not { } start
                    || p.CaptureStartSeconds is not { } from
                    || p.CaptureEndSeconds is not { } to
                    || (start >= from - 1 && start <= to + 1)
                )
                .Select(p => p.PassId!)
                .Distinct(),
        ];
        return ids.Length == 1 ? ids[0] : null;
    }

    private static long? SourceOf(SqliteConnection connection, long passId, string name) =>
        connection.ExecuteScalar<long?>(
            "SELECT i.sourceId FROM sendItems i JOIN passes p ON p.sendId = i.sendId WHERE p.id = @passId AND i.name = @name ORDER BY i.position LIMIT 1",
            new { passId, name }
        );
}

[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase)]
[JsonSerializable(typeof(ReturnAsked))]
internal sealed partial class LogJson : JsonSerializerContext;
