using Microsoft.Data.Sqlite;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>What the database meets, in the user's words.</summary>
internal static class StudioFaults
{
    // Result codes of SQLite (sqlite.org/rescode.html).
    private const int Busy = 5;
    private const int Locked = 6;
    private const int ReadOnly = 8;
    private const int InputOutput = 10;
    private const int Corrupt = 11;
    private const int Full = 13;
    private const int CannotOpen = 14;
    private const int NotADatabase = 26;

    public static Fault From(string path, SqliteException error) =>
        error.SqliteErrorCode switch
        {
            Busy or Locked => TooBusy(path, error),
            ReadOnly => Fault.Output(path, "the folder is read-only", "Copy the studio to a folder that may be written to.", error),
            Full => Fault.Output(path, "the disk is full", "Make room; nothing was lost.", error),
            InputOutput => Fault.Output(
                path,
                "the disk failed to read or write it",
                "Look at the disk, and copy the studio to another.",
                error
            ),
            Corrupt => Fault.Input(path, "it is damaged", null, Advice, error),
            CannotOpen => Fault.Input(path, "it cannot be opened", null, "Look at who may read and write it and its folder.", error),
            NotADatabase => Fault.Input(path, "it is not a database", 0, Advice, error),
            _ => Fault.Input(path, error.Message.Split('\n')[0].TrimEnd('.'), null, null, error),
        };

    public static Fault TooBusy(string path, Exception? error) =>
        Fault.Output(
            path,
            $"another program has been writing to it for more than {StudioStore.PatienceSeconds} s",
            "Let it end, and try again.",
            error
        );

    private const string Advice =
        "A copy from before the last change of version lies in .offtape/backups; log rebuild makes a new one from the files.";
}
