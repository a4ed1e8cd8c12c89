using SkiaSharp;

namespace Offtape.Report;

/// <summary>
/// Font files in the folders where users put fonts and where a font manager without configuration does not look
/// (XDG Base Directory Specification 0.8: data folders; ~/.fonts by custom).
/// </summary>
internal static class FontFiles
{
    public static SKTypeface? Find(string family)
    {
        var name = family.Replace(" ", "", StringComparison.Ordinal);
        foreach (var folder in Folders().Where(Directory.Exists))
        {
            foreach (var suffix in (string[])[".ttf", "-Regular.ttf", ".otf", "-Regular.otf"])
            {
                if (FirstFile(folder, name + suffix) is { } path && SKTypeface.FromFile(path) is { } face)
                    return face;
            }
        }
        return null;
    }

    private static IEnumerable<string> Folders()
    {
        if (OperatingSystem.IsWindows())
            yield break;
        var home = Environment.GetFolderPath(Environment.SpecialFolder.UserProfile);
        if (home.Length > 0)
        {
            yield return Path.Combine(home, ".local", "share", "fonts");
            yield return Path.Combine(home, ".fonts");
        }
        var dataFolders = Environment.GetEnvironmentVariable("XDG_DATA_DIRS") is { Length: > 0 } set ? set : "/usr/local/share:/usr/share";
        foreach (var folder in dataFolders.Split(':', StringSplitOptions.RemoveEmptyEntries))
            yield return Path.Combine(folder, "fonts");
    }

    private static string? FirstFile(string folder, string fileName)
    {
        var options = new EnumerationOptions
        {
            RecurseSubdirectories = true,
            IgnoreInaccessible = true,
            MaxRecursionDepth = 6,
        };
        return Directory.EnumerateFiles(folder, fileName, options).Order(StringComparer.Ordinal).FirstOrDefault();
    }
}
