using System.Globalization;
using System.Text;
using Offtape.AudioFiles;

namespace Offtape.Web.Folders;

/// <summary>Names from outside made into names of files that every system takes, and that say no more than a name.</summary>
internal static class SafeName
{
    private const int MostCharacters = 120;
    private const int MostBytes = 180;
    private const string Unwanted = "<>:\"/\\|?*";

    private static readonly string[] Reserved = ["CON", "PRN", "AUX", "NUL"];

    /// <summary>The name of an audio file; null where the name is not that of one.</summary>
    /// <param name="offered">As the browser gives it: any path in it is dropped.</param>
    public static string? ForSound(string offered)
    {
        var last = offered[(offered.LastIndexOfAny(['/', '\\']) + 1)..];
        var extension = Clean(Path.GetExtension(last));
        var name = $"{ForFolder(Path.GetFileNameWithoutExtension(last))}{extension}";
        return extension.Length is > 1 and <= 8 && AudioFile.IsAudioName(name) ? name : null;
    }

    /// <summary>The name of a folder, or the stem of a file's: never empty.</summary>
    public static string ForFolder(string offered)
    {
        var clean = Clean(offered).Trim(' ', '.', '-');
        while (clean.Length > MostCharacters || Encoding.UTF8.GetByteCount(clean) > MostBytes)
            clean = new StringInfo(clean) is { LengthInTextElements: > 1 } text
                ? text.SubstringByTextElements(0, text.LengthInTextElements - 1).TrimEnd(' ', '.')
                : "";
        if (clean.Length == 0)
            return "sound";
        var isReserved =
            Reserved.Contains(clean.Split('.')[0].TrimEnd().ToUpperInvariant())
            || clean.Length >= 4
                && char.IsAsciiDigit(clean[3])
                && (clean.Length == 4 || clean[4] == '.')
                && (
                    clean.StartsWith("COM", StringComparison.OrdinalIgnoreCase)
                    || clean.StartsWith("LPT", StringComparison.OrdinalIgnoreCase)
                );
        return isReserved ? clean + "_" : clean;
    }

    /// <summary>A name that is free in a folder: "kit.wav", "kit (2).wav", …, compared without case.</summary>
    public static string Free(string folder, string name)
    {
        var taken = Directory.Exists(folder)
            ? Directory.GetFileSystemEntries(folder).Select(Path.GetFileName).ToHashSet(StringComparer.OrdinalIgnoreCase)
            : [];
        var (stem, extension) = (Path.GetFileNameWithoutExtension(name), Path.GetExtension(name));
        var free = name;
        for (var i = 2; taken.Contains(free); i++)
            free = $"{stem} ({i}){extension}";
        return free;
    }

    // Control characters, marks that turn the direction of writing round, lone surrogates, and what some system keeps for itself.
    private static string Clean(string text)
    {
        var clean = new StringBuilder();
        foreach (var rune in text.EnumerateRunes())
        {
            var category = Rune.GetUnicodeCategory(rune);
            if (
                category
                is UnicodeCategory.Control
                    or UnicodeCategory.Format
                    or UnicodeCategory.OtherNotAssigned
                    or UnicodeCategory.PrivateUse
            )
                continue;
            if (rune == Rune.ReplacementChar)
                continue;
            clean.Append(rune.IsBmp && Unwanted.Contains((char)rune.Value) ? "-" : rune.ToString());
        }
        return clean.ToString();
    }
}
