using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Cli.Verbs.Demo;

/// <summary>
/// The demo's folder. All is made in a folder beside it, which is the working folder meanwhile, and put in place file by file when it is
/// whole. A list of its own files lies in it: by that an earlier demo is recognised, and nothing that is not on the list is ever removed.
/// </summary>
internal sealed class DemoFolder : IDisposable
{
    public const string ListName = "demo.txt";

    private const string FirstLine = "Made by offtape demo. The next demo replaces these files, as long as nothing else lies here:";
    private readonly string _target;
    private readonly string _workshop;
    private readonly string _workingFolderBefore;
    private readonly IReadOnlyList<string> _earlier;

    private DemoFolder(string named, string target, string workshop, IReadOnlyList<string> earlier)
    {
        (Named, _target, _workshop, _earlier) = (named, target, workshop, earlier);
        _workingFolderBefore = Environment.CurrentDirectory;
        Environment.CurrentDirectory = workshop;
    }

    /// <summary>The folder as the user named it.</summary>
    public string Named { get; }

    /// <exception cref="Fault">Something else lies there, or the folder cannot be made.</exception>
    public static DemoFolder Begin(string named, bool force)
    {
        var target = Path.TrimEndingDirectorySeparator(Path.GetFullPath(named));
        var earlier = ListedFiles(target);
        if (File.Exists(target))
            throw Fault.Output(named, "it is a file, not a folder", "Choose another folder with --to.");
        if (!force && Directory.Exists(target) && FilesIn(target).Except([.. earlier, ListName]).FirstOrDefault() is { } stranger)
            throw Fault.Output(
                named,
                earlier.Count == 0 ? "the folder exists already and is not a demo's" : $"{stranger} lies in it and is not the demo's",
                "Choose another folder with --to, or replace the demo's files with --force; nothing else is touched."
            );
        var workshop = Path.Combine(Path.GetDirectoryName(target) ?? target, $".{Path.GetFileName(target)}-{Guid.NewGuid():N}");
        try
        {
            Directory.CreateDirectory(workshop);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(named, error);
        }
        return new DemoFolder(named, target, workshop, earlier);
    }

    /// <summary>Puts everything in place.</summary>
    public void Complete()
    {
        Leave();
        var files = FilesIn(_workshop);
        SafeFile.WriteText(Path.Combine(_workshop, ListName), string.Join('\n', files.Prepend(FirstLine)) + "\n", replace: true);
        try
        {
            foreach (var file in files.Append(ListName))
            {
                var place = Path.Combine(_target, file);
                Directory.CreateDirectory(Path.GetDirectoryName(place)!);
                File.Move(Path.Combine(_workshop, file), place, overwrite: true);
            }
            foreach (var file in _earlier.Except(files))
                File.Delete(Path.Combine(_target, file));
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(Named, error);
        }
    }

    public void Dispose()
    {
        Leave();
        if (Directory.Exists(_workshop))
            Directory.Delete(_workshop, recursive: true);
    }

    private void Leave() => Environment.CurrentDirectory = _workingFolderBefore;

    // The files of an earlier demo; a list that names anything outside the folder is none.
    private static IReadOnlyList<string> ListedFiles(string target)
    {
        var list = Path.Combine(target, ListName);
        if (!File.Exists(list))
            return [];
        var lines = File.ReadAllLines(list);
        return lines.Length > 0 && lines[0] == FirstLine && lines.Skip(1).All(l => IsInside(target, l)) ? [.. lines.Skip(1)] : [];
    }

    private static bool IsInside(string folder, string relative) =>
        Path.GetFullPath(Path.Combine(folder, relative)).StartsWith(folder + Path.DirectorySeparatorChar, StringComparison.Ordinal);

    private static IReadOnlyList<string> FilesIn(string folder) =>
        [
            .. Directory
                .EnumerateFiles(folder, "*", SearchOption.AllDirectories)
                .Select(f => Path.GetRelativePath(folder, f).Replace('\\', '/'))
                .Order(StringComparer.Ordinal),
        ];
}
