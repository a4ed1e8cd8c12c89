using System.Diagnostics;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>Held while a database is made or changes its version. The system lets go of it when the program ends, however it ends.</summary>
internal static class MigrationLock
{
    private const int RetryMilliseconds = 20;

    /// <exception cref="Fault">Output: another program holds it for too long, or the folder cannot be written to.</exception>
    public static IDisposable Take(string folder, string databasePath)
    {
        var watch = Stopwatch.StartNew();
        while (true)
        {
            try
            {
                var own = Directory.CreateDirectory(Path.Combine(folder, StudioBackups.OwnFolder)).FullName;
                return new FileStream(Path.Combine(own, "migration.lock"), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
            }
            catch (IOException error) when (error is not (DirectoryNotFoundException or PathTooLongException))
            {
                if (watch.Elapsed.TotalSeconds > StudioStore.PatienceSeconds)
                    throw StudioFaults.TooBusy(databasePath, error);
                Thread.Sleep(RetryMilliseconds);
            }
            catch (UnauthorizedAccessException error)
            {
                throw Fault.FromOutputError(folder, error);
            }
        }
    }
}
