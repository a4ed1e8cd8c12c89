using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>Copies of the database from before each change of its version, under <c>.offtape/backups</c>.</summary>
internal static class StudioBackups
{
    /// <summary>What the program keeps for itself in a studio folder.</summary>
    public const string OwnFolder = ".offtape";

    /// <summary>Older ones are taken away.</summary>
    public const int Kept = 5;

    public static string FolderOf(string studioFolder) => Path.Combine(studioFolder, OwnFolder, "backups");

    /// <summary>Copies the database as it is at this moment. The copy gets its name when it is whole.</summary>
    /// <returns>Path of the copy.</returns>
    /// <exception cref="Fault">Output: it cannot be written.</exception>
    public static string Make(SqliteConnection connection, string studioFolder, long version)
    {
        var folder = FolderOf(studioFolder);
        var path = Path.Combine(folder, $"studio-v{version}-{DateTime.UtcNow:yyyyMMdd'T'HHmmssfff'Z'}.db");
        var unfinished = path + ".part";
        try
        {
            Directory.CreateDirectory(folder);
            foreach (var leftover in Directory.GetFiles(folder, "*.part"))
                File.Delete(leftover);
            connection.Execute("VACUUM INTO @unfinished", new { unfinished });
            using (var copy = new FileStream(unfinished, FileMode.Open, FileAccess.ReadWrite))
                copy.Flush(flushToDisk: true);
            File.Move(unfinished, path);
            foreach (var old in Directory.GetFiles(folder, "studio-v*.db").OrderByDescending(File.GetLastWriteTimeUtc).Skip(Kept))
                File.Delete(old);
            return path;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(path, error);
        }
    }
}
