using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Web.Printing;

/// <summary>plan.json.</summary>
internal static class PassPlanJson
{
    private const long MostBytes = 4_000_000;

    // By reflection: what a file leaves out then keeps the value that a fresh plan has.
    private static readonly JsonSerializerOptions Options = new()
    {
        TypeInfoResolver = new DefaultJsonTypeInfoResolver(),
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        WriteIndented = true,
        RespectNullableAnnotations = true,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.CamelCase, allowIntegerValues: false) },
    };

    /// <summary>Null where there is none, or none that is understood.</summary>
    public static PassPlan? TryLoad(string path)
    {
        try
        {
            return new FileInfo(path) is { Exists: true, Length: < MostBytes }
                ? JsonSerializer.Deserialize<PassPlan>(File.ReadAllText(path), Options)
                : null;
        }
        catch (Exception error) when (error is JsonException or IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    /// <exception cref="Fault">It cannot be written.</exception>
    public static void Save(string path, PassPlan plan) =>
        SafeFile.WriteText(path, JsonSerializer.Serialize(plan, Options) + "\n", replace: true);
}
