namespace Offtape.Studio;

/// <summary>The user's files in a studio folder.</summary>
internal static class StudioFiles
{
    private static EnumerationOptions Options { get; } =
        new()
        {
            RecurseSubdirectories = false,
            IgnoreInaccessible = true,
            AttributesToSkip = FileAttributes.ReparsePoint | FileAttributes.Hidden,
        };

    /// <summary>Full paths in order; without what begins with a dot (the program's own folder, half-written files), without closed jobs, and without following links.</summary>
    public static IEnumerable<string> Of(string folder)
    {
        foreach (var file in Directory.GetFiles(folder, "*", Options).Order(StringComparer.Ordinal))
            if (!Path.GetFileName(file).StartsWith('.'))
                yield return file;
        foreach (var inner in Directory.GetDirectories(folder, "*", Options).Order(StringComparer.Ordinal))
        {
            if (Path.GetFileName(inner).StartsWith('.') || IsClosedJob(inner))
                continue;
            foreach (var file in Of(inner))
                yield return file;
        }
    }

    /// <summary>Folders of closed jobs, in order; neither in what begins with a dot nor behind links.</summary>
    public static IEnumerable<string> ClosedJobs(string folder)
    {
        foreach (var inner in Directory.GetDirectories(folder, "*", Options).Order(StringComparer.Ordinal))
        {
            if (Path.GetFileName(inner).StartsWith('.'))
                continue;
            if (IsClosedJob(inner))
                yield return inner;
            else
                foreach (var job in ClosedJobs(inner))
                    yield return job;
        }
    }

    // Copies of what the studio holds already.
    private static bool IsClosedJob(string folder) =>
        File.Exists(Path.Combine(folder, JobCloser.JsonName)) && File.Exists(Path.Combine(folder, JobCloser.HashesName));
}
