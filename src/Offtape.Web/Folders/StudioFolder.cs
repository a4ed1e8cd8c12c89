using Offtape.Base;

namespace Offtape.Web.Folders;

/// <summary>
/// The folder that holds the work, in subfolders with readable names. One program at a time has it open. What is read or written through
/// the browser lies inside it, also after links are followed.
/// </summary>
public sealed class StudioFolder : IDisposable
{
    private const string OwnFolderName = ".offtape";
    private const string LeftoverPattern = ".offtape-*.part";
    private readonly FileStream _lock;

    private StudioFolder(string root, bool isNew, FileStream held)
    {
        (Root, IsNew, _lock) = (root, isNew, held);
        Own = Path.Combine(root, OwnFolderName);
        Passes = Path.Combine(root, "passes");
        Captures = Path.Combine(root, "captures");
        Takes = Path.Combine(root, "takes");
        Benches = Path.Combine(root, "bench");
    }

    /// <summary>With links followed.</summary>
    public string Root { get; }

    /// <summary>It was made just now.</summary>
    public bool IsNew { get; }

    /// <summary>What the program keeps for itself.</summary>
    internal string Own { get; }

    /// <summary>One folder a pass: its clean sounds, its send and its sheet.</summary>
    internal string Passes { get; }

    /// <summary>One folder a pass: what was recorded of it.</summary>
    internal string Captures { get; }

    /// <summary>One folder a pass: what was brought back of it.</summary>
    internal string Takes { get; }

    /// <summary>One folder a sitting at the bench: check signal, what was recorded of it, report.</summary>
    internal string Benches { get; }

    /// <summary>Opens a folder, and makes it where it is missing. What an interrupted run left half-written is cleared away.</summary>
    /// <exception cref="Fault">It cannot be made or written to, or another program has it open.</exception>
    public static StudioFolder Open(string path)
    {
        try
        {
            var isNew = !Directory.Exists(path);
            var root = RealPath.Of(Directory.CreateDirectory(path).FullName);
            var own = Directory.CreateDirectory(Path.Combine(root, OwnFolderName)).FullName;
            var held = Lock(Path.Combine(own, "open.lock"), root);
            var studio = new StudioFolder(root, isNew, held);
            studio.ClearLeftovers();
            return studio;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(path, error);
        }
    }

    /// <summary>Whether a path lies inside the studio once every link is followed.</summary>
    internal bool Holds(string path)
    {
        try
        {
            var real = RealPath.Of(path);
            return real.StartsWith(Root + Path.DirectorySeparatorChar, StringComparison.Ordinal)
                && !real.StartsWith(Own + Path.DirectorySeparatorChar, StringComparison.Ordinal);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException or ArgumentException)
        {
            return false;
        }
    }

    public void Dispose() => _lock.Dispose();

    private static FileStream Lock(string path, string root)
    {
        try
        {
            return new FileStream(path, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None, 1, FileOptions.DeleteOnClose);
        }
        catch (IOException error) when (File.Exists(path))
        {
            throw Fault.Output(root, "another Offtape has this studio open", "Use its window, or end it first.", error);
        }
    }

    private void ClearLeftovers()
    {
        foreach (var folder in new[] { Own, Passes, Captures, Takes, Benches }.Where(Directory.Exists))
        {
            var deep = new EnumerationOptions
            {
                RecurseSubdirectories = true,
                AttributesToSkip = FileAttributes.ReparsePoint,
                IgnoreInaccessible = true,
            };
            foreach (var file in Directory.GetFiles(folder, LeftoverPattern, deep))
                File.Delete(file);
            foreach (var part in Directory.GetDirectories(folder, LeftoverPattern))
                Directory.Delete(part, recursive: true);
        }
    }

    /// <summary>The name of a folder that is being filled: cleared away at the next start if it never gets its own name.</summary>
    internal static string PartName() => LeftoverPattern.Replace("*", Guid.NewGuid().ToString("N"), StringComparison.Ordinal);
}
