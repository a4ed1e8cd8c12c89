using System.Text.Json;
using System.Text.Json.Serialization;
using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Passes;

/// <summary>The sheet as JSON: camelCase names, units in names, null for what is not known.</summary>
internal static class PassSheetJson
{
    private static readonly SheetContext Context = new(
        VersionedJson.Options(
            new JsonStringEnumConverter<SendLayout>(JsonNamingPolicy.CamelCase, allowIntegerValues: false),
            new JsonStringEnumConverter<SlateKind>(JsonNamingPolicy.CamelCase, allowIntegerValues: false)
        )
    );

    internal static string Write(PassSheet sheet) => JsonSerializer.Serialize(sheet, Context.PassSheet) + "\n";

    /// <exception cref="Fault">Input: the text is not a pass sheet, or one of a later version.</exception>
    internal static PassSheet Read(byte[] utf8, string path) => VersionedJson.Read(utf8, path, File, Context.PassSheet);

    private static VersionedFile File =>
        new(PassSheet.What, PassSheet.CurrentFormatVersion, "Give the pass.json that came with the send, or its folder.");
}

[JsonSerializable(typeof(PassSheet))]
internal sealed partial class SheetContext : JsonSerializerContext;
