using System.Text.Json.Serialization;
using Offtape.Cli.Verbs;
using Offtape.Cli.Verbs.Calculations;

namespace Offtape.Cli.Json;

[JsonSourceGenerationOptions(
    WriteIndented = true,
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.Never,
    UseStringEnumConverter = true,
    Converters = [typeof(FiniteOrNull)]
)]
[JsonSerializable(typeof(IReadOnlyList<LoudnessRow>))]
[JsonSerializable(typeof(GapAnswer))]
[JsonSerializable(typeof(SendAnswer))]
[JsonSerializable(typeof(SpeedAnswer))]
internal sealed partial class CliJsonContext : JsonSerializerContext;
