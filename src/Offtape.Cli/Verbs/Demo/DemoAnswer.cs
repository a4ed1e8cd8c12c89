namespace Offtape.Cli.Verbs.Demo;

/// <summary>The JSON of <c>demo</c>; its commands are what a user would have typed in the demo's folder.</summary>
internal sealed record DemoAnswer(string Folder, string Page, IReadOnlyList<string> Commands, IReadOnlyList<DemoMachine> Machines);

/// <summary>One simulated machine and what came back from it. Files are named from the demo's folder.</summary>
internal sealed record DemoMachine(string Name, string How, string Capture, IReadOnlyList<DemoTake> Takes);

/// <summary>One take. The place's error is the found place minus the true one, which the simulated machine knows; above zero: too late.</summary>
internal sealed record DemoTake(
    string Source,
    bool Found,
    IReadOnlyDictionary<string, string> Files,
    double? CaptureStartSeconds,
    double? PlaceErrorMilliseconds,
    string Sentence
);
