namespace Offtape.Report;

/// <summary>A path from a page's own folder as an address; anything that would lead elsewhere is refused.</summary>
internal static class RelativeAddress
{
    public static string Of(string relativePath)
    {
        var parts = relativePath.Split('/', '\\');
        if (parts.Any(p => p.Length == 0) || parts[0].Length == 2 && parts[0][1] == ':')
            throw new ArgumentException($"\"{relativePath}\" is not a path from the page's own folder.");
        // Each name is escaped whole: a colon, a question mark or a hash in a file name stays part of the name.
        return string.Join('/', parts.Select(p => p is "." or ".." ? p : Uri.EscapeDataString(p)));
    }
}
