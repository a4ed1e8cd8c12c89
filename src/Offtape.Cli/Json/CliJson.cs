using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using Offtape.Passes;

namespace Offtape.Cli.Json;

/// <summary>
/// The one JSON setup of the command: camelCase, units in names, every field always there, what is absent or not finite is null.
/// Code for each result is made at build time, which keeps the start quick.
/// </summary>
internal static class CliJson
{
    private static readonly JsonSerializerOptions Options = new(CliJsonContext.Default.Options)
    {
        // Names and sentences stay readable: this text is never put into a web page.
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        TypeInfoResolver = CliJsonContext.Default,
    };

    public static string Text<T>(T value, JsonTypeInfo<T> type) =>
        JsonSerializer.Serialize(value, (JsonTypeInfo<T>)Options.GetTypeInfo(type.Type));

    /// <summary>A result by its own type, which the context has to know.</summary>
    public static string Text(object value) => JsonSerializer.Serialize(value, Options.GetTypeInfo(value.GetType()));
}

/// <summary>A number, or null where it is not finite.</summary>
internal sealed class FiniteOrNull : JsonConverter<double>
{
    public override double Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.Null ? double.NaN : reader.GetDouble();

    public override bool HandleNull => true;

    public override void Write(Utf8JsonWriter writer, double value, JsonSerializerOptions options)
    {
        if (double.IsFinite(value))
            writer.WriteNumberValue(value);
        else
            writer.WriteNullValue();
    }
}

/// <summary>The kind of a step in camelCase, as names of fields are.</summary>
internal sealed class StepKindInCamelCase() : JsonStringEnumConverter<RunStepKind>(JsonNamingPolicy.CamelCase);
