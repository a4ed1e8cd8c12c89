using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;

namespace Offtape.Base;

/// <summary>What the program's JSON files have in common: a format version that is looked at first, and plain words for what is wrong.</summary>
public static class VersionedJson
{
    /// <summary>The bytes of a file that is not larger than one of its kind can be.</summary>
    /// <param name="path">The file.</param>
    /// <param name="what">What it should be, with its article: "a pass sheet".</param>
    /// <param name="mostBytes">Far above any of its kind; a file beyond it is something else.</param>
    /// <exception cref="Fault">Input: no such file, or far too large.</exception>
    public static byte[] ReadBytes(string path, string what, long mostBytes)
    {
        try
        {
            var byteCount = new FileInfo(path).Length;
            return byteCount <= mostBytes
                ? File.ReadAllBytes(path)
                : throw Fault.Input(path, $"it is not {what}: it holds {Words.ByteSize(byteCount)}");
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromInputError(path, error);
        }
    }

    /// <summary>How they are written: camelCase names, indented, and texts readable as they are; none of it is ever put into a web page unescaped.</summary>
    /// <param name="converters">What the file's own values need.</param>
    public static JsonSerializerOptions Options(params IEnumerable<JsonConverter> converters)
    {
        var options = new JsonSerializerOptions
        {
            PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
            WriteIndented = true,
            RespectNullableAnnotations = true,
            Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        };
        foreach (var converter in converters)
            options.Converters.Add(converter);
        return options;
    }

    /// <summary>What a file says.</summary>
    /// <param name="utf8">Its bytes.</param>
    /// <param name="path">Its name, for faults.</param>
    /// <param name="kind">What it should be.</param>
    /// <param name="type">How it is read.</param>
    /// <param name="isWhole">What its fields must be to each other; null asks nothing.</param>
    /// <exception cref="Fault">Input: it is no such file, or one of a later version.</exception>
    public static T Read<T>(byte[] utf8, string path, VersionedFile kind, JsonTypeInfo<T> type, Func<T, bool>? isWhole = null)
        where T : class
    {
        try
        {
            CheckVersion(utf8, path, kind.What, kind.NewestVersion, kind.Advice);
            var value = JsonSerializer.Deserialize(utf8, type);
            return value is not null && isWhole?.Invoke(value) != false ? value : throw NotOne(path, kind.What, kind.Advice);
        }
        catch (JsonException error)
        {
            throw NotOne(path, kind.What, kind.Advice, error, utf8);
        }
    }

    /// <summary>A later version may lack a field that this one needs: its age is then the helpful thing to say.</summary>
    /// <exception cref="Fault">Input: no version, or a later one.</exception>
    /// <exception cref="JsonException">It is no JSON.</exception>
    public static void CheckVersion(byte[] utf8, string path, string what, int newestVersion, string advice)
    {
        using var document = JsonDocument.Parse(utf8);
        if (
            document.RootElement.ValueKind != JsonValueKind.Object
            || !document.RootElement.TryGetProperty("formatVersion", out var version)
            || version.ValueKind != JsonValueKind.Number
            || !version.TryGetInt32(out var number)
        )
            throw NotOne(path, what, advice);
        if (number > newestVersion)
            throw Fault.Input(
                path,
                $"it is {what} of version {number}, and this program knows version {newestVersion}",
                null,
                "Use a newer Offtape."
            );
    }

    /// <summary>The fault of a file that is no such file, with the place where its JSON goes wrong.</summary>
    /// <param name="path">The file.</param>
    /// <param name="what">What it should be, with its article.</param>
    /// <param name="advice">Which file to give instead.</param>
    /// <param name="error">What its reader met; null where it is sound JSON of something else.</param>
    /// <param name="utf8">What it read; null where no byte is to be named.</param>
    public static Fault NotOne(string path, string what, string advice, JsonException? error = null, byte[]? utf8 = null) =>
        Fault.Input(
            path,
            error?.Path is { Length: > 1 } place
                ? $"it is not {what}: something is wrong at {place[1..].TrimStart('.')}"
                : $"it is not {what}",
            error is null || utf8 is null ? null : OffsetOf(error, utf8),
            advice,
            error
        );

    private static long? OffsetOf(JsonException error, byte[] utf8)
    {
        if (error is not { LineNumber: { } line, BytePositionInLine: { } inLine })
            return null;
        long start = 0;
        for (; line > 0; line--)
        {
            var newline = Array.IndexOf(utf8, (byte)'\n', (int)start);
            if (newline < 0)
                return null;
            start = newline + 1;
        }
        return start + inLine;
    }
}
