using System.Text.Json;
using System.Text.Json.Serialization;
using Offtape.Base;

namespace Offtape.Bench;

/// <summary>The report as JSON: camelCase, units in names, what is absent or not finite is null.</summary>
internal static class BenchReportJson
{
    internal const string What = "the report of a bench";
    private static VersionedFile File =>
        new(What, BenchReport.CurrentFormatVersion, "Give the bench.json that bench read wrote, or its folder.");

    private static readonly BenchReportContext Context = new(
        VersionedJson.Options(
            new JsonStringEnumConverter<HowTaken>(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false),
            new FiniteOrNull()
        )
    );

    internal static string Write(BenchReport report) => JsonSerializer.Serialize(report, Context.BenchReport);

    /// <exception cref="Fault">Input: the text is not a report, or one of a later version.</exception>
    internal static BenchReport Read(byte[] utf8, string path) =>
        VersionedJson.Read(utf8, path, File, Context.BenchReport, report => report.Curves.All(IsWhole));

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
