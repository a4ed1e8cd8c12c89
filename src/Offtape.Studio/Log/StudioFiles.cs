namespace Offtape.Studio;

/// <summary>The user's files in a studio folder.</summary>
internal static class StudioFiles
{
    /// <summary>Full paths in order; without what begins with a dot (the program's own folder, half-written files), without closed jobs, and without following links.</summary>
    public static IEnumerable<string> Of(string folder)
    {
        var options = new EnumerationOptions
        {
            RecurseSubdirectories = false,
            IgnoreInaccessible = true,
            AttributesToSkip = FileAttributes.ReparsePoint | FileAttributes.Hidden,
        };
        foreach (var file in Directory.GetFiles(folder, "*", options).Order(StringComparer.Ordinal))
            if (!Path.GetFileName(file).StartsWith('.'))
                yield return file;
        foreach (var inner in Directory.GetDirectories(folder, "*", options).Order(StringComparer.Ordinal))
        {
            if (Path.GetFileName(inner).StartsWith('.') || IsClosedJob(inner))
                continue;
            foreach (var file in Of(inner))
                yield return file;
        }
    }

    // Copies of what the studio holds already.
    private static bool IsClosedJob(string folder) =>
        File.Exists(Path.Combine(folder, JobCloser.JsonName)) && File.Exists(Path.Combine(folder, JobCloser.HashesName));
}
