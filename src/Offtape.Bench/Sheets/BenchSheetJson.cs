using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>The sheet as JSON: camelCase names, units in names, null for what a part has not.</summary>
internal static class BenchSheetJson
{
    private static readonly BenchSheetContext Context = new(
        new JsonSerializerOptions
        {
            PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
            WriteIndented = true,
            RespectNullableAnnotations = true,
            Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
            Converters =
            {
                new JsonStringEnumConverter<BenchPartKind>(JsonNamingPolicy.CamelCase, allowIntegerValues: false),
                new JsonStringEnumConverter<SlateKind>(JsonNamingPolicy.CamelCase, allowIntegerValues: false),
            },
        }
    );

    internal static string Write(BenchSheet sheet) => JsonSerializer.Serialize(sheet, Context.BenchSheet) + "\n";

    /// <exception cref="Fault">Input: the text is not the sheet of a check signal, or one of a later version.</exception>
    internal static BenchSheet Read(byte[] utf8, string path)
    {
        try
        {
            VersionedJson.CheckVersion(utf8, path, BenchSheet.What, BenchSheet.CurrentFormatVersion, Advice);
            return JsonSerializer.Deserialize(utf8, Context.BenchSheet) ?? throw VersionedJson.NotOne(path, BenchSheet.What, Advice);
        }
        catch (JsonException error)
        {
            throw VersionedJson.NotOne(path, BenchSheet.What, Advice, error, utf8);
        }
    }

    private const string Advice = "Give the bench-sheet.json that came with the check signal.";
}

[JsonSerializable(typeof(BenchSheet))]
internal sealed partial class BenchSheetContext : JsonSerializerContext;
