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
            VersionedJson.CheckVersion(utf8, path, PassSheet.What, PassSheet.CurrentFormatVersion, Advice);
            return JsonSerializer.Deserialize(utf8, Context.PassSheet) ?? throw VersionedJson.NotOne(path, PassSheet.What, Advice);
        }
        catch (JsonException error)
        {
            throw VersionedJson.NotOne(path, PassSheet.What, Advice, error, utf8);
        }
    }

    private const string Advice = "Give the pass.json that came with the send, or its folder.";
}

[JsonSerializable(typeof(PassSheet))]
internal sealed partial class SheetContext : JsonSerializerContext;
