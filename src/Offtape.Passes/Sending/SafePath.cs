namespace Offtape.Passes;

/// <summary>Whether two names mean one file.</summary>
internal static class SafePath
{
    internal static bool AreSame(string a, string b) =>
        string.Equals(
            Path.GetFullPath(a),
            Path.GetFullPath(b),
            OperatingSystem.IsLinux() ? StringComparison.Ordinal : StringComparison.OrdinalIgnoreCase
        );
}
