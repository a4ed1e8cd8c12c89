using System.Text.Json;
using System.Text.Json.Serialization;
using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>The sheet as JSON: camelCase names, units in names, null for what a part has not.</summary>
internal static class BenchSheetJson
{
    private static readonly BenchSheetContext Context = new(
        VersionedJson.Options(
            new JsonStringEnumConverter<BenchPartKind>(JsonNamingPolicy.CamelCase, allowIntegerValues: false),
            new JsonStringEnumConverter<SlateKind>(JsonNamingPolicy.CamelCase, allowIntegerValues: false)
        )
    );

    internal static string Write(BenchSheet sheet) => JsonSerializer.Serialize(sheet, Context.BenchSheet) + "\n";

    /// <exception cref="Fault">Input: the text is not the sheet of a check signal, or one of a later version.</exception>
    internal static BenchSheet Read(byte[] utf8, string path) => VersionedJson.Read(utf8, path, File, Context.BenchSheet);

    private static VersionedFile File =>
        new(BenchSheet.What, BenchSheet.CurrentFormatVersion, "Give the bench-sheet.json that came with the check signal.");
}

[JsonSerializable(typeof(BenchSheet))]
internal sealed partial class BenchSheetContext : JsonSerializerContext;
