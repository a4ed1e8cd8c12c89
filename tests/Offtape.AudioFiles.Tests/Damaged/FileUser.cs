using System.Runtime.InteropServices;

namespace Offtape.AudioFiles.Tests;

/// <summary>
/// The user as whom this thread opens files. The superuser may read everything; setfsuid(2) makes one thread an ordinary user to the
/// file system, and leaves the others what they were.
/// </summary>
internal sealed partial class FileUser : IDisposable
{
    private const int Nobody = 65534;
    private readonly int? _before;

    private FileUser(int? before) => _before = before;

    /// <summary>Files are opened without privileges from here on, until disposed; an ordinary user stays one.</summary>
    /// <param name="folder">Made open to all, so that the files in it are reached.</param>
    public static FileUser Ordinary(string folder)
    {
        if (!OperatingSystem.IsLinux() || !Environment.IsPrivilegedProcess)
            return new FileUser(null);
        File.SetUnixFileMode(folder, File.GetUnixFileMode(folder) | UnixFileMode.OtherExecute | UnixFileMode.OtherRead);
        return new FileUser(SetFileUser(Nobody));
    }

    public void Dispose()
    {
        if (_before is { } user)
            _ = SetFileUser(user);
    }

    // Gives the user as it was.
    [LibraryImport("libc", EntryPoint = "setfsuid")]
    private static partial int SetFileUser(int user);
}
