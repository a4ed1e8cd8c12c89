using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.Base;

namespace Offtape.Studio.Tests.Store;

/// <summary>The database is made, brought up to date with a copy kept, and refused where it is not ours or too new; SQLite is the judge.</summary>
public sealed class StudioStoreTests
{
    [Fact]
    public void A_new_folder_gets_a_sound_database_with_a_write_ahead_log()
    {
        using var studio = new TemporaryStudio();
        using (var store = studio.Open())
        {
            Assert.Empty(store.IntegrityFaults());
            Assert.Equal("wal", store.Read(c => c.ExecuteScalar<string>("PRAGMA journal_mode")));
            Assert.Equal(1, store.Read(c => c.ExecuteScalar<int>("PRAGMA foreign_keys")));
            Assert.Equal(5000, store.Read(c => c.ExecuteScalar<int>("PRAGMA busy_timeout")));
            Assert.Equal(Migrations.NewestVersion, store.Read(c => c.ExecuteScalar<int>("PRAGMA user_version")));
        }
        // Closed, it is one file: nothing of the log stays beside it.
        Assert.Equal([studio.Database], Directory.GetFiles(studio.Folder));
        Assert.False(Directory.Exists(StudioBackups.FolderOf(studio.Folder)));
    }

    [Fact]
    public void Scripts_are_numbered_without_a_gap() =>
        Assert.Equal(Enumerable.Range(1, Migrations.NewestVersion), Migrations.Scripts().Select(s => s.Version));

    [Fact]
    public void A_newer_version_is_refused_with_one_line_and_left_alone()
    {
        using var studio = new TemporaryStudio();
        studio.Open().Dispose();
        Execute(studio.Database, $"PRAGMA user_version = {Migrations.NewestVersion + 1}");
        var before = File.ReadAllBytes(studio.Database);
        var fault = Assert.Throws<Fault>(() => studio.Open());
        Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
        Assert.Equal(
            $"Cannot read \"studio.db\": it is a studio of version {Migrations.NewestVersion + 1}, and this program knows version {Migrations.NewestVersion}. Use a newer Offtape.",
            fault.Message
        );
        Assert.Equal(before, File.ReadAllBytes(studio.Database));
    }

    [Fact]
    public void The_database_of_another_program_is_refused()
    {
        using var studio = new TemporaryStudio();
        Execute(studio.Database, "CREATE TABLE sheep (id INTEGER)");
        Assert.Contains("another program", Assert.Throws<Fault>(() => studio.Open()).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_no_database_is_refused()
    {
        using var studio = new TemporaryStudio();
        File.WriteAllText(studio.Database, new string('x', 8192));
        var fault = Assert.Throws<Fault>(() => studio.Open());
        Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
        Assert.Contains("not a database", fault.Message, StringComparison.Ordinal);
        Assert.Contains("log rebuild", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Where_there_is_none_opening_an_existing_one_says_how_to_begin()
    {
        using var studio = new TemporaryStudio();
        var fault = Assert.Throws<Fault>(() => StudioStore.OpenExisting(studio.Folder));
        Assert.Contains("machine add", fault.Message, StringComparison.Ordinal);
        Assert.False(File.Exists(studio.Database));
    }

    [Fact]
    public void What_throws_half_way_is_not_kept()
    {
        using var studio = new TemporaryStudio();
        using var store = studio.Open();
        Assert.Throws<InvalidOperationException>(() =>
            store.Write(c =>
            {
                c.Execute("INSERT INTO machines (name, addedAt) VALUES ('deck', '2026-01-01T00:00:00Z')");
                throw new InvalidOperationException();
            })
        );
        Assert.Equal(0, store.Read(c => c.ExecuteScalar<int>("SELECT count(*) FROM machines")));
    }

    [Fact]
    public void A_line_that_points_nowhere_is_refused()
    {
        using var studio = new TemporaryStudio();
        using var store = studio.Open();
        Assert.Throws<Fault>(() => store.Write(c => c.Execute("INSERT INTO sides (tapeId, name) VALUES (7, 'A')")));
    }

    [Fact]
    public void An_older_version_is_copied_before_it_is_changed()
    {
        using var studio = new TemporaryStudio();
        using (var store = studio.Open())
            store.Write(c => c.Execute("INSERT INTO machines (name, addedAt) VALUES ('deck', '2026-01-01T00:00:00Z')"));
        for (var i = 0; i < StudioBackups.Kept + 2; i++)
        {
            using var connection = Connect(studio.Database);
            var path = StudioBackups.Make(connection, studio.Folder, 1);
            using var copy = Connect(path);
            Assert.Equal("deck", copy.ExecuteScalar<string>("SELECT name FROM machines"));
            Assert.Equal("ok", copy.ExecuteScalar<string>("PRAGMA integrity_check"));
        }
        Assert.Equal(StudioBackups.Kept, Directory.GetFiles(StudioBackups.FolderOf(studio.Folder)).Length);
    }

    [Fact]
    public void Many_that_open_a_new_folder_at_once_make_one_database()
    {
        using var studio = new TemporaryStudio();
        Parallel.For(0, 8, new ParallelOptions { MaxDegreeOfParallelism = 8 }, _ => studio.Open().Dispose());
        using var store = studio.Open();
        Assert.Empty(store.IntegrityFaults());
        Assert.Equal(Migrations.NewestVersion, store.Read(c => c.ExecuteScalar<int>("SELECT count(*) FROM SchemaVersions")));
    }

    [Fact]
    public void A_folder_that_was_moved_is_the_same_studio()
    {
        using var studio = new TemporaryStudio();
        using (var store = studio.Open())
        {
            Assert.Equal("passes/one/send.wav", store.Paths.ToStored(studio["passes/one/send.wav"]));
            Assert.Equal("/elsewhere/send.wav", store.Paths.ToStored("/elsewhere/send.wav"));
        }
        var moved = studio.Folder + "-moved";
        Directory.Move(studio.Folder, moved);
        try
        {
            using var store = StudioStore.OpenExisting(moved);
            Assert.Equal(Path.Combine(moved, "passes", "one", "send.wav"), store.Paths.ToFull("passes/one/send.wav"));
            Assert.Equal("/elsewhere/send.wav", store.Paths.ToFull("/elsewhere/send.wav"));
        }
        finally
        {
            Directory.Move(moved, studio.Folder);
        }
    }

    [Theory]
    [InlineData("/asked", "/variable", "/asked")]
    [InlineData(null, "/variable", "/variable")]
    [InlineData(" ", "", null)]
    public void What_is_asked_for_goes_before_the_variable(string? asked, string? variable, string? found) =>
        Assert.Equal(found, StudioPlace.Find(asked, variable, "/"));

    [Fact]
    public void Else_the_nearest_parent_with_a_studio_is_in_use()
    {
        using var studio = new TemporaryStudio();
        studio.Open().Dispose();
        Assert.Equal(studio.Folder, StudioPlace.Find(null, null, Directory.CreateDirectory(studio["a/b"]).FullName));
    }

    private static SqliteConnection Connect(string path)
    {
        var connection = new SqliteConnection($"Data Source={path};Pooling=False");
        connection.Open();
        return connection;
    }

    private static void Execute(string path, string sql)
    {
        using var connection = Connect(path);
        connection.Execute(sql);
    }
}
