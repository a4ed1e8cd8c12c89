using System.Text.Json.Serialization;
using Offtape.Cli.Verbs;
using Offtape.Cli.Verbs.Bench;
using Offtape.Cli.Verbs.Demo;
using Offtape.Cli.Verbs.Log;
using Offtape.Cli.Verbs.Studio;
using Offtape.Cli.Verbs.Tapes;
using Offtape.Studio;

namespace Offtape.Cli.Json;

[JsonSourceGenerationOptions(
    WriteIndented = true,
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.Never,
    Converters = [typeof(FiniteOrNull), typeof(StepKindInCamelCase)]
)]
[JsonSerializable(typeof(IReadOnlyList<LoudnessRow>))]
[JsonSerializable(typeof(CostAnswer))]
[JsonSerializable(typeof(DemoAnswer))]
[JsonSerializable(typeof(EchoAnswer))]
[JsonSerializable(typeof(GapAnswer))]
[JsonSerializable(typeof(GenerationsAnswer))]
[JsonSerializable(typeof(LineUpAnswer))]
[JsonSerializable(typeof(LoopAnswer))]
[JsonSerializable(typeof(IReadOnlyList<PartRow>))]
[JsonSerializable(typeof(KitAnswer))]
[JsonSerializable(typeof(KitFilesAnswer))]
[JsonSerializable(typeof(LevelsAnswer))]
[JsonSerializable(typeof(IReadOnlyList<FileOrigin>))]
[JsonSerializable(typeof(IReadOnlyList<LineUp>))]
[JsonSerializable(typeof(IReadOnlyList<MachineView>))]
[JsonSerializable(typeof(IReadOnlyList<UpkeepDue>))]
[JsonSerializable(typeof(LogListAnswer))]
[JsonSerializable(typeof(MachineHours))]
[JsonSerializable(typeof(MachineView))]
[JsonSerializable(typeof(VerifyReport))]
[JsonSerializable(typeof(ClosedJob))]
[JsonSerializable(typeof(RebuildAnswer))]
[JsonSerializable(typeof(RemoveAnswer))]
[JsonSerializable(typeof(RerunAnswer))]
[JsonSerializable(typeof(PatchAnswer))]
[JsonSerializable(typeof(PatchCheckAnswer))]
[JsonSerializable(typeof(PitchAnswer))]
[JsonSerializable(typeof(PrintAnswer))]
[JsonSerializable(typeof(SendAnswer))]
[JsonSerializable(typeof(SignalsAnswer))]
[JsonSerializable(typeof(SoundLevelsAnswer))]
[JsonSerializable(typeof(SpeedAnswer))]
[JsonSerializable(typeof(BoxAnswer))]
[JsonSerializable(typeof(FitAnswer))]
[JsonSerializable(typeof(MarkAnswer))]
[JsonSerializable(typeof(TapeAnswer))]
[JsonSerializable(typeof(IReadOnlyList<TapeAnswer>))]
[JsonSerializable(typeof(TimeAnswer))]
[JsonSerializable(typeof(ToneAnswer))]
internal sealed partial class CliJsonContext : JsonSerializerContext;
