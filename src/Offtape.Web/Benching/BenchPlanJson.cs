using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using Offtape.AudioFiles;

namespace Offtape.Web.Benching;

/// <summary>bench-plan.json.</summary>
internal static class BenchPlanJson
{
    private const long MostBytes = 1_000_000;

    // By reflection: what a file leaves out then keeps the value that a fresh plan has.
    private static readonly JsonSerializerOptions Options = new()
    {
        TypeInfoResolver = new DefaultJsonTypeInfoResolver(),
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        WriteIndented = true,
        RespectNullableAnnotations = true,
        IgnoreReadOnlyProperties = true,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false) },
    };

    /// <summary>Null where there is none, or none that is understood.</summary>
    public static BenchPlan? TryLoad(string path)
    {
        try
        {
            return new FileInfo(path) is { Exists: true, Length: < MostBytes }
                ? JsonSerializer.Deserialize<BenchPlan>(File.ReadAllText(path), Options)
                : null;
        }
        catch (Exception error) when (error is JsonException or IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    /// <exception cref="Base.Fault">It cannot be written.</exception>
    public static void Save(string path, BenchPlan plan) =>
        SafeFile.WriteText(path, JsonSerializer.Serialize(plan, Options) + "\n", replace: true);
}
