using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using Offtape.Base;

namespace Offtape.Bench;

/// <summary>The report as JSON: camelCase, units in names, what is absent or not finite is null.</summary>
internal static class BenchReportJson
{
    internal const string What = "the report of a bench";
    private const string Advice = "Give the bench.json that bench read wrote, or its folder.";

    private static readonly BenchReportContext Context = new(
        new JsonSerializerOptions
        {
            PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
            WriteIndented = true,
            RespectNullableAnnotations = true,
            Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
            Converters =
            {
                new JsonStringEnumConverter<HowTaken>(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false),
                new FiniteOrNull(),
            },
        }
    );

    internal static string Write(BenchReport report) => JsonSerializer.Serialize(report, Context.BenchReport);

    /// <exception cref="Fault">Input: the text is not a report, or one of a later version.</exception>
    internal static BenchReport Read(byte[] utf8, string path)
    {
        try
        {
            VersionedJson.CheckVersion(utf8, path, What, BenchReport.CurrentFormatVersion, Advice);
            var report = JsonSerializer.Deserialize(utf8, Context.BenchReport);
            return report is not null && report.Curves.All(IsWhole) ? report : throw VersionedJson.NotOne(path, What, Advice);
        }
        catch (JsonException error)
        {
            throw VersionedJson.NotOne(path, What, Advice, error, utf8);
        }
    }

    private static bool IsWhole(ReadingCurve curve) =>
        curve.X.Length == curve.Y.Length && (curve.Uncertainty.Length == 0 || curve.Uncertainty.Length == curve.X.Length);
}

/// <summary>A number, or null where it is not finite; null is read as not a number.</summary>
internal sealed class FiniteOrNull : JsonConverter<double>
{
    public override bool HandleNull => true;

    public override double Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.Null ? double.NaN : reader.GetDouble();

    public override void Write(Utf8JsonWriter writer, double value, JsonSerializerOptions options)
    {
        if (double.IsFinite(value))
            writer.WriteNumberValue(value);
        else
            writer.WriteNullValue();
    }
}

[JsonSerializable(typeof(BenchReport))]
internal sealed partial class BenchReportContext : JsonSerializerContext;
