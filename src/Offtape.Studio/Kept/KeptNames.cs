using System.Security.Cryptography;
using System.Text;

namespace Offtape.Studio;

/// <summary>Where what was typed is kept in a studio folder.</summary>
internal static class KeptNames
{
    public const string PassEnding = "pass-notes.json";
    public const string MachineEnding = ".machine.json";
    public const string TapeEnding = ".tape.json";
    public const string MachineFolder = "machines";
    public const string TapeFolder = "tapes";

    // Of passes whose sheet lies elsewhere.
    private const string PassFolder = "notes";
    private const int MostCharacters = 80;

    public static string Machine(string root, string name) => Path.Combine(root, MachineFolder, Safe(name) + MachineEnding);

    public static string Tape(string root, string name) => Path.Combine(root, TapeFolder, Safe(name) + TapeEnding);

    public static string PassElsewhere(string root, string passId) => Path.Combine(root, PassFolder, $"{Safe(passId)}.{PassEnding}");

    public static string PassBeside(string sheetPath) => Path.Combine(Path.GetDirectoryName(sheetPath)!, PassEnding);

    /// <summary>A name that every system takes. Names that are the same but for case have the same, and two different ones never.</summary>
    private static string Safe(string name)
    {
        var lower = name.ToLowerInvariant();
        var plain = new StringBuilder();
        foreach (var c in lower.Take(MostCharacters))
            plain.Append(char.IsAsciiLetterOrDigit(c) || c is '-' or '_' or ' ' ? c : '-');
        var safe = plain.ToString().Trim();
        return safe == lower && !IsReserved(safe)
            ? safe
            : $"{safe}-{Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(lower)))[..8]}".TrimStart('-', ' ');
    }

    // Devices of Windows, which are no files there.
    private static bool IsReserved(string name) =>
        name is "con" or "prn" or "aux" or "nul" || (name.Length == 4 && name[..3] is "com" or "lpt" && char.IsAsciiDigit(name[3]));
}
