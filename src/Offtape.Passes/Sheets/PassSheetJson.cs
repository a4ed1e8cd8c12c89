using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Passes;

/// <summary>The sheet as JSON: camelCase names, units in names, null for what is not known.</summary>
internal static class PassSheetJson
{
    private static readonly SheetContext Context = new(
        new JsonSerializerOptions
        {
            PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
            WriteIndented = true,
            RespectNullableAnnotations = true,
            // File names stay readable; nothing here is ever put into a web page unescaped.
            Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
            Converters =
            {
                new JsonStringEnumConverter<SendLayout>(JsonNamingPolicy.CamelCase, allowIntegerValues: false),
                new JsonStringEnumConverter<SlateKind>(JsonNamingPolicy.CamelCase, allowIntegerValues: false),
            },
        }
    );

    internal static string Write(PassSheet sheet) => JsonSerializer.Serialize(sheet, Context.PassSheet) + "\n";

    /// <exception cref="Fault">Input: the text is not a pass sheet, or one of a later version.</exception>
    internal static PassSheet Read(byte[] utf8, string path)
    {
        try
        {
            CheckVersion(utf8, path);
            return JsonSerializer.Deserialize(utf8, Context.PassSheet) ?? throw NotASheet(path, null, null);
        }
        catch (JsonException error)
        {
            throw NotASheet(path, OffsetOf(error, utf8), error);
        }
    }

    // Looked at first: a later version may lack a field that this one needs, and its age is then the helpful thing to say.
    private static void CheckVersion(byte[] utf8, string path)
    {
        using var document = JsonDocument.Parse(utf8);
        if (
            document.RootElement.ValueKind != JsonValueKind.Object
            || !document.RootElement.TryGetProperty("formatVersion", out var version)
            || version.ValueKind != JsonValueKind.Number
            || !version.TryGetInt32(out var number)
        )
            throw NotASheet(path, null, null);
        if (number > PassSheet.CurrentFormatVersion)
            throw Fault.Input(
                path,
                $"it is a pass sheet of version {number}, and this program knows version {PassSheet.CurrentFormatVersion}",
                null,
                "Use a newer Offtape."
            );
    }

    private static Fault NotASheet(string path, long? byteOffset, JsonException? error) =>
        Fault.Input(
            path,
            error?.Path is { Length: > 1 } place
                ? $"it is not a pass sheet: something is wrong at {place[1..].TrimStart('.')}"
                : "it is not a pass sheet",
            byteOffset,
            "Give the pass.json that came with the send, or its folder.",
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

[JsonSerializable(typeof(PassSheet))]
internal sealed partial class SheetContext : JsonSerializerContext;
