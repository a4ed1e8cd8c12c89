using Dapper;
using Offtape.Passes;

namespace Offtape.Studio.Tests.Store;

/// <summary>
/// How often each place was recorded, in whatever order passes become known, after they move and after they go; and what becomes of a database of the
/// first version. The slow count over all lines is the judge.
/// </summary>
public sealed class StretchCountTests
{
    [Fact]
    public void Counts_do_not_depend_on_the_order_in_which_passes_become_known()
    {
        var random = new Random(31);
        for (var run = 0; run < 12; run++)
        {
            using var studio = new TemporaryStudio();
            using var store = studio.Open();
            new TapeShelf(store).Add(
                new TapeEntry("LQ-4") { Format = Tape.TrackFormats.CassetteFourTrack, LengthMetres = 90 },
                replace: false
            );
            var sheets = Enumerable.Range(0, 14).Select(i => Sheet(i, random)).ToArray();
            random.Shuffle(sheets);
            foreach (var sheet in sheets)
                store.Write(c => Record(sheet, studio).Put(c, store.Paths, []));
            IsCounted(store);
            var settings = new PassSettings(store);
            for (var i = 0; i < 5; i++)
            {
                // Also to another speed and to other tracks; a pass that is noted again where it is stays as it was counted.
                var run2 = new SheetRun
                {
                    StartSeconds = random.Next(3) == 0 ? null : random.Next(300),
                    Note = "moved",
                    TapeTracks = random.Next(3) == 0 ? [1 + random.Next(4)] : null,
                };
                settings.Set(sheets[random.Next(sheets.Length)].PassId, run2, random.Next(2) == 0 ? 4.76 : null, [], DateTime.UtcNow);
                IsCounted(store);
            }
            store.Write(c => StretchBook.Remove(c, random.Next(1, 15)));
            IsCounted(store);
            Assert.Equal(13, store.Read(c => c.ExecuteScalar<int>("SELECT count(*) FROM stretches")));
        }
    }

    [Fact]
    public void Noting_a_pass_again_where_it_is_counts_nothing_more()
    {
        using var studio = new TemporaryStudio();
        using var store = studio.Open();
        var random = new Random(1);
        var (first, second) = (Sheet(1, random, start: 0), Sheet(2, random, start: 0));
        foreach (var sheet in new[] { first, second })
            store.Write(c => Record(sheet, studio).Put(c, store.Paths, []));
        new PassSettings(store).Set(first.PassId, new SheetRun { Note = "the better one" }, null, [], DateTime.UtcNow);
        Assert.Equal([1, 2], store.Read(c => c.Query<int>("SELECT times FROM stretches ORDER BY at")));
    }

    [Fact]
    public void The_tracks_of_a_pass_are_worked_out_when_the_format_of_its_tape_becomes_known()
    {
        using var studio = new TemporaryStudio();
        using var store = studio.Open();
        store.Write(c => Record(Sheet(1, new Random(1), start: 0, tracks: [3]), studio).Put(c, store.Paths, []));
        var shelf = new TapeShelf(store);
        Assert.Empty(Assert.Single(shelf.Find("LQ-4").Sides[0].Stretches).Tracks);
        shelf.Add(new TapeEntry("LQ-4") { Format = Tape.TrackFormats.CassetteFourTrack, LengthMetres = 90 }, replace: false);
        Assert.Equal([3], Assert.Single(shelf.Find("LQ-4").Sides[0].Stretches).Tracks);
        Assert.Equal([3], new LogSearch(store).Passes(new PassFilter())[0].TapeTracks);
        var fault = Assert.Throws<Base.Fault>(() =>
            new PassSettings(store).Set("t-00000001-1", new SheetRun { TapeTracks = [5] }, null, [], DateTime.UtcNow)
        );
        Assert.Contains("no track 5", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_studio_of_the_first_version_is_copied_and_its_passes_keep_the_whole_side()
    {
        using var studio = new TemporaryStudio();
        Directory.CreateDirectory(studio.Folder);
        using (var connection = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={studio.Database};Pooling=False"))
        {
            connection.Open();
            connection.Execute(Migrations.Scripts()[0].Text);
            connection.Execute(
                """
                CREATE TABLE SchemaVersions (SchemaVersionID INTEGER PRIMARY KEY, ScriptName TEXT NOT NULL, Applied DATETIME NOT NULL);
                INSERT INTO SchemaVersions (ScriptName, Applied) VALUES ('0001-studio.sql', '2026-01-01');
                INSERT INTO machines (id, name, addedAt, trackFormat) VALUES (1, 'four', '2026-01-01T00:00:00Z', 'cassette-four'), (2, 'reel', '2026-01-01T00:00:00Z', 'half-nab');
                INSERT INTO tapes (id, name, addedAt, trackFormat, lengthMetres) VALUES (1, 'LQ-4', '2026-01-01T00:00:00Z', 'cassette-four-track', 90);
                INSERT INTO sides (id, tapeId, name) VALUES (1, 1, 'A');
                INSERT INTO sends (id, passId, at, sampleRateHz, channelCount, layout, lengthSeconds, levelDbfs, printRatio, reversed)
                    VALUES (1, 'old', '2026-01-02T00:00:00Z', 48000, 2, 'serial', 100, -6, 1, 0);
                INSERT INTO passes (id, sendId, at, sideId, machineId, speedCmPerSecond, startSeconds) VALUES (1, 1, '2026-01-02T00:00:00Z', 1, 1, 9.5, 0);
                INSERT INTO stretches (sideId, passId, at, startSeconds, endSeconds, speedCmPerSecond, times) VALUES (1, 1, '2026-01-02T00:00:00Z', 0, 100, 9.5, 1);
                INSERT INTO stretches (sideId, at, startSeconds, endSeconds, speedCmPerSecond, times) VALUES (1, '2026-01-03T00:00:00Z', 50, 150, 9.5, 2);
                INSERT INTO stretches (sideId, at, startSeconds, endSeconds, speedCmPerSecond, times) VALUES (1, '2026-01-04T00:00:00Z', 200, 300, 9.5, 7);
                """
            );
        }
        using var store = studio.Open();
        var copy = Assert.Single(Directory.GetFiles(StudioBackups.FolderOf(studio.Folder), "studio-v1-*.db"));
        using (var before = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={copy};Pooling=False"))
        {
            before.Open();
            Assert.Equal(1, before.ExecuteScalar<int>("PRAGMA user_version"));
            Assert.Equal("half-nab", before.ExecuteScalar<string>("SELECT trackFormat FROM machines WHERE id = 2"));
        }
        Assert.Equal(
            ["cassette-four-track", "two-track"],
            store.Read(c => c.Query<string>("SELECT trackFormat FROM machines ORDER BY id"))
        );
        // Seven times on nothing was typed; twice on one was counted.
        Assert.Equal([null, null, 7], store.Read(c => c.Query<int?>("SELECT timesTyped FROM stretches ORDER BY at")));
        var side = new TapeShelf(store).Find("LQ-4").Sides[0];
        Assert.Equal([100.0], Enumerable.Range(1, 4).Select(t => side.Uses(t)[0].ToMetres * 100 / 9.5 * 2).Distinct());
        // Noting something of an old pass leaves it so.
        new PassSettings(store).Set("old", new SheetRun { Note = "warm" }, null, [], DateTime.UtcNow);
        Assert.All(new TapeShelf(store).Find("LQ-4").Sides[0].Stretches, s => Assert.Empty(s.Tracks));
        Assert.Empty(store.IntegrityFaults());
    }

    private static void IsCounted(StudioStore store)
    {
        var rows = store.Read(c =>
            c.Query<(string At, long Id, double From, double To, string? Tracks, int Times)>(
                    "SELECT at, id, speedCmPerSecond * startSeconds, speedCmPerSecond * endSeconds, tracks, times FROM stretches ORDER BY at, id"
                )
                .ToArray()
        );
        bool Share(string? one, string? other) => one is null || other is null || one.Split(',').Intersect(other.Split(',')).Any();
        var times = new int[rows.Length];
        for (var i = 0; i < rows.Length; i++)
        {
            for (var k = 0; k < i; k++)
                if (rows[k].From < rows[i].To && rows[k].To > rows[i].From && Share(rows[k].Tracks, rows[i].Tracks))
                    times[i] = Math.Max(times[i], times[k]);
            times[i]++;
        }
        Assert.Equal(times, rows.Select(r => r.Times));
    }

    private static SendRecord Record(PassSheet sheet, TemporaryStudio studio) =>
        SendRecord.From(sheet, new FileFacts(studio[$"{sheet.PassId}/pass.json"], new string('0', 64), 1, FileKind.PassSheet), null);

    private static PassSheet Sheet(int number, Random random, double? start = null, int[]? tracks = null) =>
        new()
        {
            FormatVersion = PassSheet.CurrentFormatVersion,
            PassId = $"t-{number:00000000}-1",
            SampleRateHz = 48_000,
            ChannelCount = 4,
            PrintRatio = 1,
            Reversed = false,
            SpeedCmPerSecond = random.Next(2) == 0 ? 4.76 : 9.525,
            LengthSeconds = 20 + random.Next(100),
            Items =
            [
                new SheetItem
                {
                    Source = "kit.wav",
                    Sha256 = new string('1', 64),
                    StartSeconds = 8,
                    LengthSeconds = 10,
                    GainDb = -6,
                    Tracks = tracks ?? (random.Next(2) == 0 ? [1, 2] : [1 + random.Next(4)]),
                },
            ],
            Slates = [],
            MadeAt = $"2026-02-{number + 1:00}T00:00:00Z",
            Run = new SheetRun { Tape = "LQ-4", StartSeconds = start ?? random.Next(300) },
        };
}
