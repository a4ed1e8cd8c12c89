using Offtape.Passes;

namespace Offtape.Studio;

/// <summary>A thing that is noted of a pass and can be emptied again.</summary>
public sealed record PassFact
{
    private readonly Func<SheetRun, double?, object?> _said;

    private PassFact(string name, string empties, Func<SheetRun, double?, object?> said) => (Name, Empties, _said) = (name, empties, said);

    /// <summary>As the option of the command that notes it.</summary>
    public string Name { get; }

    /// <summary>What the table of passes is told to empty it.</summary>
    internal string Empties { get; }

    public static PassFact Machine { get; } = new("machine", "machineId = NULL", (r, _) => r.Machine);

    /// <summary>With its side and its tracks, which are of the tape.</summary>
    public static PassFact Tape { get; } = new("tape", "sideId = NULL, tapeTracks = NULL", (r, _) => r.Tape);

    public static PassFact TapeTracks { get; } = new("tape-tracks", "tapeTracks = NULL", (r, _) => r.TapeTracks);

    public static PassFact StartCounter { get; } = new("start-counter", "startCounter = NULL", (r, _) => r.StartCounter);

    public static PassFact Start { get; } = new("start", "startSeconds = NULL", (r, _) => r.StartSeconds);

    public static PassFact Speed { get; } = new("speed", "speedCmPerSecond = NULL", (_, speed) => speed);

    public static PassFact Pitch { get; } = new("pitch", "pitchPercent = NULL", (r, _) => r.PitchPercent);

    public static PassFact InputLevel { get; } = new("input-level", "inputLevel = NULL", (r, _) => r.InputLevel);

    public static PassFact NoiseReduction { get; } = new("noise-reduction", "noiseReduction = NULL", (r, _) => r.NoiseReduction);

    public static PassFact TapeType { get; } = new("tape-type", "tapeType = NULL", (r, _) => r.TapeType);

    public static PassFact Note { get; } = new("note", "note = ''", (r, _) => r.Note);

    public static IReadOnlyList<PassFact> All { get; } =
    [Machine, Tape, TapeTracks, StartCounter, Start, Speed, Pitch, InputLevel, NoiseReduction, TapeType, Note];

    /// <summary>Those of some names; a name that is none is left out.</summary>
    internal static IReadOnlyList<PassFact> Named(IReadOnlyList<string> names) => [.. All.Where(f => names.Contains(f.Name))];

    /// <summary>Whether it is said.</summary>
    internal bool IsSaid(SheetRun run, double? speedCmPerSecond) => _said(run, speedCmPerSecond) is not null;
}
