using System.Text.Json.Serialization;
using Offtape.Cli.Verbs;
using Offtape.Cli.Verbs.Bench;
using Offtape.Cli.Verbs.Calculations;
using Offtape.Cli.Verbs.Demo;
using Offtape.Cli.Verbs.Studio;

namespace Offtape.Cli.Json;

[JsonSourceGenerationOptions(
    WriteIndented = true,
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.Never,
    Converters = [typeof(FiniteOrNull), typeof(StepKindInCamelCase)]
)]
[JsonSerializable(typeof(IReadOnlyList<LoudnessRow>))]
[JsonSerializable(typeof(DemoAnswer))]
[JsonSerializable(typeof(GapAnswer))]
[JsonSerializable(typeof(LineUpAnswer))]
[JsonSerializable(typeof(IReadOnlyList<PartRow>))]
[JsonSerializable(typeof(KitAnswer))]
[JsonSerializable(typeof(KitFilesAnswer))]
[JsonSerializable(typeof(LevelsAnswer))]
[JsonSerializable(typeof(PatchAnswer))]
[JsonSerializable(typeof(PatchCheckAnswer))]
[JsonSerializable(typeof(SendAnswer))]
[JsonSerializable(typeof(SignalsAnswer))]
[JsonSerializable(typeof(SpeedAnswer))]
[JsonSerializable(typeof(TimeAnswer))]
[JsonSerializable(typeof(ToneAnswer))]
internal sealed partial class CliJsonContext : JsonSerializerContext;
