using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace Offtape.Bench;

/// <summary>A comparison as JSON: camelCase, what is absent or not finite is null.</summary>
internal static class BenchComparisonJson
{
    private static readonly BenchComparisonContext Context = new(
        new JsonSerializerOptions
        {
            PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
            WriteIndented = true,
            Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
            Converters =
            {
                new JsonStringEnumConverter<HowTaken>(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false),
                new JsonStringEnumConverter<ComparisonVerdict>(JsonNamingPolicy.CamelCase, allowIntegerValues: false),
                new FiniteOrNull(),
            },
        }
    );

    internal static string Write(BenchComparison comparison) => JsonSerializer.Serialize(comparison, Context.BenchComparison);
}

[JsonSerializable(typeof(BenchComparison))]
internal sealed partial class BenchComparisonContext : JsonSerializerContext;
