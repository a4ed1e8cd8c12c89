using System.Diagnostics;
using Dapper;
using DbUp;
using Microsoft.Data.Sqlite;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>
/// Brings a database up to date: numbered scripts, each whole or not at all, each setting <c>user_version</c> to its number; a copy of the
/// database is kept from before. One program at a time does it.
/// </summary>
internal static class Migrations
{
    /// <summary>"Oftp", by which a database is known as a studio's (<c>PRAGMA application_id</c>).</summary>
    private const long ApplicationId = 0x4F667470;

    private const string Prefix = "migration/";

    /// <summary>The version this program knows: the number of its last script.</summary>
    public static int NewestVersion { get; } = Scripts().Max(s => s.Version);

    /// <exception cref="Fault">A later version, another program's database, or the script cannot be run.</exception>
    /// <returns>The version it had; 0: it is new.</returns>
    public static long Apply(SqliteConnection connection, string folder, string path)
    {
        if (IsCurrent(connection, path))
            return NewestVersion;
        using var _ = MigrationLock.Take(folder, path);
        // Another program may have done it meanwhile.
        if (IsCurrent(connection, path))
            return NewestVersion;
        var before = Version(connection);
        if (before > 0)
            StudioBackups.Make(connection, folder, before);
        connection.Execute("PRAGMA journal_mode = WAL");
        Upgrade(connection.DataSource);
        if (Version(connection) != NewestVersion)
            throw Fault.Output(path, $"it stayed at version {Version(connection)} of {NewestVersion}");
        return before;
    }

    /// <summary>Also refuses what is not to be touched.</summary>
    private static bool IsCurrent(SqliteConnection connection, string path)
    {
        var version = Version(connection);
        var application = connection.ExecuteScalar<long>("PRAGMA application_id");
        var isStudio = application == ApplicationId;
        if (!isStudio && (application != 0 || version != 0 || HasTables(connection)))
            throw Fault.Input(path, "it is the database of another program", null, "Choose another folder with --studio.");
        if (version > NewestVersion)
            throw Fault.Input(
                path,
                $"it is a studio of version {version}, and this program knows version {NewestVersion}",
                null,
                "Use a newer Offtape."
            );
        return version == NewestVersion;
    }

    private static long Version(SqliteConnection connection) => connection.ExecuteScalar<long>("PRAGMA user_version");

    // What a first script leaves behind when it is killed before its transaction ends is the table of scripts at most.
    private static bool HasTables(SqliteConnection connection) =>
        connection.ExecuteScalar<long>(
            "SELECT count(*) FROM sqlite_schema WHERE name NOT LIKE 'SchemaVersions%' AND name NOT LIKE 'sqlite_%'"
        ) > 0;

    private static void Upgrade(string path)
    {
        var connectionString = new SqliteConnectionStringBuilder
        {
            DataSource = path,
            Pooling = false,
            DefaultTimeout = StudioStore.PatienceSeconds,
        }.ToString();
        var result = DeployChanges
            .To.SqliteDatabase(connectionString)
            .WithScripts(Scripts().Select(s => new DbUp.Engine.SqlScript(s.Name, s.Text)))
            .WithVariablesDisabled()
            .WithTransactionPerScript()
            .LogToNowhere()
            .Build()
            .PerformUpgrade();
        if (!result.Successful)
            throw result.Error as SqliteException
                ?? (Exception)
                    Fault.Output(path, $"{result.ErrorScript?.Name} failed: {result.Error.Message.Split('\n')[0]}", null, result.Error);
    }

    /// <summary>The scripts in the order of their numbers, which are those of the versions they lead to.</summary>
    internal static IReadOnlyList<(int Version, string Name, string Text)> Scripts()
    {
        var assembly = typeof(Migrations).Assembly;
        return
        [
            .. assembly
                .GetManifestResourceNames()
                .Where(n => n.StartsWith(Prefix, StringComparison.Ordinal))
                .Order(StringComparer.Ordinal)
                .Select(name =>
                {
                    using var stream = assembly.GetManifestResourceStream(name) ?? throw new UnreachableException();
                    using var reader = new StreamReader(stream);
                    return (int.Parse(name[Prefix.Length..][..4]), name[Prefix.Length..], reader.ReadToEnd());
                }),
        ];
    }
}
