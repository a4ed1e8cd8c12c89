namespace Offtape.Studio;

/// <summary>
/// Paths as the database keeps them: a file in the studio folder as seen from it, with forward slashes, so that the folder can be moved or
/// copied whole; a file outside it by its full path.
/// </summary>
internal sealed class StudioPaths(string folder)
{
    private readonly string _root = Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder)) + Path.DirectorySeparatorChar;

    /// <summary>Full path of the studio folder.</summary>
    public string Root => Path.TrimEndingDirectorySeparator(_root);

    public string ToStored(string path)
    {
        var full = Path.GetFullPath(path);
        return full.StartsWith(_root, StringComparison.Ordinal) ? full[_root.Length..].Replace('\\', '/') : full;
    }

    public string ToFull(string stored) => Path.GetFullPath(stored.Replace('/', Path.DirectorySeparatorChar), _root);
}
