using System.Text.Json;
using Offtape.Base;

namespace Offtape.Bench;

/// <summary>What the files of the bench have in common: a format version that is looked at first, and plain words for what is wrong.</summary>
internal static class VersionedJson
{
    // Far above any of them; a file beyond it is something else.
    private const long MostBytes = 64_000_000;

    /// <exception cref="Fault">Input: no such file, or far too large.</exception>
    internal static byte[] ReadBytes(string path, string what)
    {
        try
        {
            var byteCount = new FileInfo(path).Length;
            return byteCount <= MostBytes
                ? File.ReadAllBytes(path)
                : throw Fault.Input(path, $"it is not {what}: it holds {Words.ByteSize(byteCount)}");
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromInputError(path, error);
        }
    }

    /// <summary>A later version may lack a field that this one needs: its age is then the helpful thing to say.</summary>
    /// <exception cref="Fault">Input: no version, or a later one.</exception>
    /// <exception cref="JsonException">It is no JSON.</exception>
    internal static void CheckVersion(byte[] utf8, string path, string what, int newestVersion, string advice)
    {
        using var document = JsonDocument.Parse(utf8);
        if (
            document.RootElement.ValueKind != JsonValueKind.Object
            || !document.RootElement.TryGetProperty("formatVersion", out var version)
            || version.ValueKind != JsonValueKind.Number
            || !version.TryGetInt32(out var number)
        )
            throw NotOne(path, what, null, advice);
        if (number > newestVersion)
            throw Fault.Input(
                path,
                $"it is {what} of version {number}, and this program knows version {newestVersion}",
                null,
                "Use a newer Offtape."
            );
    }

    internal static Fault NotOne(string path, string what, JsonException? error, string advice) =>
        Fault.Input(
            path,
            error?.Path is { Length: > 1 } place
                ? $"it is not {what}: something is wrong at {place[1..].TrimStart('.')}"
                : $"it is not {what}",
            null,
            advice,
            error
        );
}
