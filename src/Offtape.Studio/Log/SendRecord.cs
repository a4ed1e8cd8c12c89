using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.Base;
using Offtape.Passes;

namespace Offtape.Studio;

/// <summary>A send for the log: its sheet, its sources, and the run of tape it is meant for. Files are read before the database is touched.</summary>
internal sealed class SendRecord
{
    private readonly PassSheet _sheet;
    private readonly FileFacts _sheetFile;
    private readonly FileFacts? _sendFile;
    private readonly IReadOnlyList<FileFacts?> _sources;

    private SendRecord(PassSheet sheet, FileFacts sheetFile, FileFacts? sendFile, IReadOnlyList<FileFacts?> sources)
    {
        (_sheet, _sheetFile, _sendFile, _sources) = (sheet, sheetFile, sendFile, sources);
        At = sheet.MadeAt ?? Words.Moment(File.GetLastWriteTimeUtc(sheetFile.Path));
    }

    public string At { get; }

    /// <summary>From what is known already; no file is read.</summary>
    public static SendRecord From(PassSheet sheet, FileFacts sheetFile, FileFacts? sendFile) => new(sheet, sheetFile, sendFile, []);

    /// <param name="sheetPath">Path of pass.json.</param>
    /// <param name="isOld">Its sources may have changed since: they are read again, and left out where they did.</param>
    /// <param name="cancellation">Stops it.</param>
    /// <exception cref="Fault">Input: the sheet or the send cannot be read.</exception>
    public static SendRecord Of(string sheetPath, bool isOld, CancellationToken cancellation)
    {
        var path = Path.GetFullPath(Directory.Exists(sheetPath) ? Path.Combine(sheetPath, PassSheet.FileName) : sheetPath);
        var sheet = PassSheet.Load(path);
        var folder = Path.GetDirectoryName(path)!;
        var send = Path.Combine(folder, PassSheet.SendFileName);
        return new SendRecord(
            sheet,
            FileFacts.Of(path, FileKind.PassSheet, cancellation),
            File.Exists(send) ? FileFacts.Of(send, FileKind.Send, cancellation) : null,
            [.. sheet.Items.Select(i => SourceFile(folder, i, isOld, cancellation))]
        );
    }

    private static FileFacts? SourceFile(string folder, SheetItem item, bool isOld, CancellationToken cancellation)
    {
        if (item.SourcePath is null)
            return null;
        var path = Path.GetFullPath(item.SourcePath, folder);
        if (!File.Exists(path))
            return null;
        // The sheet's own hash was taken from this very file a moment ago.
        var digest = isOld ? FileDigest.Of(path, null, cancellation) : item.Sha256;
        return string.Equals(digest, item.Sha256, StringComparison.OrdinalIgnoreCase)
            ? new FileFacts(path, item.Sha256.ToLowerInvariant(), new FileInfo(path).Length, FileKind.Source)
            : null;
    }

    /// <summary>Writes it into the transaction that is open. A pass that the log has already keeps what it says of machine, tape and settings.</summary>
    /// <returns>Number of the pass.</returns>
    public long Put(SqliteConnection connection, StudioPaths paths, List<Notice> notices)
    {
        var files = new FileBook(connection, paths, At);
        var sheetFileId = files.Put(_sheetFile);
        var sendFileId = _sendFile is null ? (long?)null : files.Put(_sendFile);
        foreach (var source in _sources)
            if (source is not null)
                files.Put(source);
        if (PassOf(connection, _sheet.PassId) is { } known)
        {
            connection.Execute(
                "UPDATE sends SET sheetFileId = @sheetFileId, sendFileId = coalesce(@sendFileId, sendFileId) WHERE passId = @passId",
                new
                {
                    sheetFileId,
                    sendFileId,
                    passId = _sheet.PassId,
                }
            );
            return known;
        }
        var sendId = PutSend(connection, sheetFileId, sendFileId);
        for (var i = 0; i < _sheet.Items.Count; i++)
            PutItem(connection, sendId, i, _sheet.Items[i]);
        var passId = PutPass(connection, sendId, notices);
        TakeInNote(connection, paths, passId, notices);
        StretchBook.Add(connection, passId);
        return passId;
    }

    /// <summary>Channels of the send that something stands on.</summary>
    private IReadOnlyList<int> Tracks =>
        [
            .. _sheet
                .Items.SelectMany(i => i.Tracks)
                .Concat(_sheet.Slates.SelectMany(s => s.Tracks))
                .Concat(_sheet.LineUp?.Tracks ?? [])
                .Concat(_sheet.Stripe is { } stripe ? [stripe.Track] : [])
                .Distinct()
                .Order(),
        ];

    public static long? PassOf(SqliteConnection connection, string passId) =>
        connection.ExecuteScalar<long?>(
            "SELECT p.id FROM passes p JOIN sends s ON s.id = p.sendId WHERE s.passId = @passId ORDER BY p.run DESC LIMIT 1",
            new { passId }
        );

    private long PutSend(SqliteConnection connection, long sheetFileId, long? sendFileId) =>
        connection.ExecuteScalar<long>(
            """
            INSERT INTO sends (passId, at, sheetFileId, sendFileId, sampleRateHz, channelCount, layout, lengthSeconds, levelDbfs, printRatio, reversed)
            VALUES (@passId, @at, @sheetFileId, @sendFileId, @sampleRateHz, @channelCount, @layout, @lengthSeconds, @levelDbfs, @printRatio, @reversed)
            RETURNING id
            """,
            new
            {
                passId = _sheet.PassId,
                at = At,
                sheetFileId,
                sendFileId,
                sampleRateHz = _sheet.SampleRateHz,
                channelCount = _sheet.ChannelCount,
                layout = _sheet.Layout.ToString().ToLowerInvariant(),
                lengthSeconds = _sheet.LengthSeconds,
                levelDbfs = _sheet.LevelDbfs,
                printRatio = _sheet.PrintRatio,
                reversed = _sheet.Reversed,
            }
        );

    private static void PutItem(SqliteConnection connection, long sendId, int position, SheetItem item)
    {
        var sourceId = SourceBook.Put(
            connection,
            item.Sha256.ToLowerInvariant(),
            item.Source,
            item.LengthSeconds,
            item.SampleRateHz,
            item.ChannelCount
        );
        connection.Execute(
            """
            INSERT INTO sendItems (sendId, position, sourceId, name, startSeconds, lengthSeconds, gainDb, tracks)
            VALUES (@sendId, @position, @sourceId, @name, @startSeconds, @lengthSeconds, @gainDb, @tracks)
            """,
            new
            {
                sendId,
                position,
                sourceId,
                name = item.Source,
                startSeconds = item.StartSeconds,
                lengthSeconds = item.LengthSeconds,
                gainDb = item.GainDb,
                tracks = TrackList.ToStored(item.Tracks) ?? "",
            }
        );
    }

    private long PutPass(SqliteConnection connection, long sendId, List<Notice> notices)
    {
        var run = _sheet.Run ?? new SheetRun();
        var names = new NameBook(connection, At, notices);
        var sideId = names.Side(run.Tape, run.Side, run.TapeType);
        var passId = connection.ExecuteScalar<long>(
            """
            INSERT INTO passes (sendId, at, machineId, sideId, speedCmPerSecond, startCounter, startSeconds, pitchPercent, inputLevel, noiseReduction,
                tapeType, note, sendTracks, tapeTracks)
            VALUES (@sendId, @at, @machineId, @sideId, @speed, @StartCounter, @StartSeconds, @PitchPercent, @InputLevel, @NoiseReduction, @TapeType, @note,
                @sendTracks, @tapeTracks)
            RETURNING id
            """,
            new
            {
                sendId,
                at = At,
                machineId = names.Machine(run.Machine),
                sideId,
                speed = _sheet.SpeedCmPerSecond,
                run.StartCounter,
                run.StartSeconds,
                run.PitchPercent,
                run.InputLevel,
                run.NoiseReduction,
                run.TapeType,
                note = run.Note ?? "",
                sendTracks = TrackList.ToStored(Tracks),
                tapeTracks = TrackList.ToStored(run.TapeTracks ?? []),
            }
        );
        return passId;
    }

    /// <summary>What was typed of the pass before, when another database had it.</summary>
    private void TakeInNote(SqliteConnection connection, StudioPaths paths, long passId, List<Notice> notices)
    {
        try
        {
            if (KeptFiles.NoteOf(paths, _sheetFile.Path, _sheet.PassId) is not { Run: { } run } note)
                return;
            PassSettings.Empty(connection, passId, PassFact.Named(note.Emptied));
            PassSettings.Apply(connection, passId, run, note.SpeedCmPerSecond, Words.Moment(DateTime.UtcNow), notices);
        }
        catch (Fault fault)
        {
            notices.Add(new Notice("note-not-taken-in", $"What was typed of pass {_sheet.PassId} was not taken in: {fault.Message}"));
        }
    }
}
