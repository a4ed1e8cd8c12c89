using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>
/// The database of a studio folder, <c>studio.db</c>. What belongs together is written in one transaction, which is there whole or not at
/// all, also when the program is killed in it (write-ahead log). Several programs may have it open: one that writes makes others wait, at
/// most <see cref="PatienceSeconds"/>.
/// </summary>
public sealed class StudioStore : IDisposable
{
    public const string FileName = "studio.db";

    /// <summary>How long a command waits for another.</summary>
    public const int PatienceSeconds = 5;

    /// <summary>From this version on, what is typed is also kept in files.</summary>
    private const int KeptSince = 2;

    private readonly SqliteConnection _connection;

    private StudioStore(string folder, SqliteConnection connection)
    {
        (Folder, _connection) = (folder, connection);
        Paths = new StudioPaths(folder);
    }

    /// <summary>Full path of the studio folder.</summary>
    public string Folder { get; }

    public string DatabasePath => Path.Combine(Folder, FileName);

    internal StudioPaths Paths { get; }

    /// <summary>Opens the studio of a folder; makes folder and database where there are none, and brings an older database up to date.</summary>
    /// <exception cref="Fault">It is of a newer version, damaged, no studio, busy, or cannot be written.</exception>
    public static StudioStore Open(string folder)
    {
        folder = Path.GetFullPath(folder);
        try
        {
            Directory.CreateDirectory(folder);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(folder, error);
        }
        return OpenFile(folder, isMade: true);
    }

    /// <summary>Opens a studio that is there.</summary>
    /// <exception cref="Fault">As <see cref="Open"/>, or there is none.</exception>
    public static StudioStore OpenExisting(string folder)
    {
        folder = Path.GetFullPath(folder);
        return File.Exists(Path.Combine(folder, FileName))
            ? OpenFile(folder, isMade: false)
            : throw Fault.Input(
                folder,
                $"there is no {FileName} in it",
                null,
                "A studio begins with the first machine, tape or send: offtape machine add NAME --studio DIR."
            );
    }

    /// <summary>Reads and writes in one transaction: all of it is kept, or nothing.</summary>
    /// <exception cref="Fault">Busy for too long, full disk, damage.</exception>
    public T Write<T>(Func<SqliteConnection, T> work) =>
        Guarded(() =>
        {
            // Immediate: it asks for the right to write at once, so that two programs wait for each other and never give up half-way.
            using var transaction = _connection.BeginTransaction(deferred: false);
            var result = work(_connection);
            transaction.Commit();
            return result;
        });

    /// <inheritdoc cref="Write{T}"/>
    public void Write(Action<SqliteConnection> work) =>
        Write(connection =>
        {
            work(connection);
            return true;
        });

    /// <summary>Reads in one transaction: what is read is of one moment.</summary>
    /// <exception cref="Fault">Busy for too long, damage.</exception>
    public T Read<T>(Func<SqliteConnection, T> work) =>
        Guarded(() =>
        {
            using var transaction = _connection.BeginTransaction(deferred: true);
            var result = work(_connection);
            transaction.Commit();
            return result;
        });

    /// <summary>What SQLite itself finds wrong with the file; empty where it is sound.</summary>
    public IReadOnlyList<string> IntegrityFaults() =>
        Guarded<IReadOnlyList<string>>(() =>
            [
                .. _connection.Query<string>("PRAGMA integrity_check").Where(line => line != "ok"),
                .. _connection
                    .Query<(string Table, long? RowId, string Parent)>("SELECT \"table\", rowid, parent FROM pragma_foreign_key_check")
                    .Select(f => $"a line of {f.Table} points to a line of {f.Parent} that is not there"),
            ]
        );

    public void Dispose() => _connection.Dispose();

    /// <summary>Machines and tapes of before there were files for them. A folder that takes no files is a studio all the same.</summary>
    private void KeepWhatWasTyped()
    {
        try
        {
            Write(c => new KeptFiles(c, Paths).KeepMissing());
        }
        catch (Fault fault) when (fault.ExitCode == ExitCode.OutputUnwritable) { }
    }

    private static StudioStore OpenFile(string folder, bool isMade)
    {
        var path = Path.Combine(folder, FileName);
        var connection = Connect(path, isMade);
        try
        {
            var before = Migrations.Apply(connection, folder, path);
            var store = new StudioStore(folder, connection);
            if (before == 0)
                KeptRestore.TakeIn(store);
            else if (before < KeptSince)
                store.KeepWhatWasTyped();
            return store;
        }
        catch (SqliteException error)
        {
            connection.Dispose();
            throw StudioFaults.From(path, error);
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }

    private static SqliteConnection Connect(string path, bool isMade)
    {
        var connection = new SqliteConnection(
            new SqliteConnectionStringBuilder
            {
                DataSource = path,
                Mode = isMade ? SqliteOpenMode.ReadWriteCreate : SqliteOpenMode.ReadWrite,
                ForeignKeys = true,
                Pooling = false,
                DefaultTimeout = PatienceSeconds,
            }.ToString()
        );
        try
        {
            connection.Open();
            // SQLite's own waiting looks again within milliseconds; the library's, every 150 of them.
            connection.Execute($"PRAGMA busy_timeout = {PatienceSeconds * 1000}; PRAGMA synchronous = FULL;");
            return connection;
        }
        catch (SqliteException error)
        {
            connection.Dispose();
            throw StudioFaults.From(path, error);
        }
    }

    private T Guarded<T>(Func<T> work)
    {
        try
        {
            return work();
        }
        catch (SqliteException error)
        {
            throw StudioFaults.From(DatabasePath, error);
        }
    }
}
