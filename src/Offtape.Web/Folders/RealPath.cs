namespace Offtape.Web.Folders;

/// <summary>Paths with every link followed, whether the last part of them exists or not.</summary>
internal static class RealPath
{
    private const int MostLinks = 40;

    /// <exception cref="IOException">Links that lead in a circle.</exception>
    public static string Of(string path)
    {
        var full = Path.TrimEndingDirectorySeparator(Path.GetFullPath(path));
        for (var links = 0; links < MostLinks; links++)
        {
            if (FollowOne(full) is not { } next)
                return full;
            full = next;
        }
        throw new IOException("There are too many links on the way.");
    }

    // The outermost link on the way, followed once; null where there is none.
    private static string? FollowOne(string full)
    {
        var root = Path.GetPathRoot(full)!;
        var at = root;
        foreach (var part in full[root.Length..].Split(Path.DirectorySeparatorChar, StringSplitOptions.RemoveEmptyEntries))
        {
            at = Path.Combine(at, part);
            if (new FileInfo(at).LinkTarget is { } target)
            {
                var there = Path.GetFullPath(target, Path.GetDirectoryName(at)!);
                return Path.TrimEndingDirectorySeparator(there + full[at.Length..]);
            }
        }
        return null;
    }
}
