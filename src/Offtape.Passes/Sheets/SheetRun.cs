namespace Offtape.Passes;

/// <summary>Where and how a pass is run, as far as it was said: what no sound tells and a person would have to remember.</summary>
public sealed record SheetRun
{
    /// <summary>No counter shows more, either way.</summary>
    public const double MostCounter = 1e6;

    /// <summary>A day: no side of a tape is longer.</summary>
    public const double MostStartSeconds = 86_400;

    /// <summary>No pitch control reaches further, in percent.</summary>
    public const double MostPitchPercent = 60;

    public string? Machine { get; init; }

    public string? Tape { get; init; }

    /// <summary>Side of the tape: A, B, 1.</summary>
    public string? Side { get; init; }

    /// <summary>Tracks of the tape, as its format numbers them, where they are not those that the send's channels stand for; null: those.</summary>
    public IReadOnlyList<int>? TapeTracks { get; init; }

    /// <summary>What the machine's counter shows where the send begins.</summary>
    public double? StartCounter { get; init; }

    /// <summary>Where the send begins, in seconds from the beginning of the side at the pass's speed.</summary>
    public double? StartSeconds { get; init; }

    /// <summary>The machine's pitch control, percent of speed: above 0 is faster.</summary>
    public double? PitchPercent { get; init; }

    /// <summary>Where the machine's record level stood, in the words or figures of its knob.</summary>
    public string? InputLevel { get; init; }

    public string? NoiseReduction { get; init; }

    /// <summary>What the machine was set to: I, II, IV, or words.</summary>
    public string? TapeType { get; init; }

    public string? Note { get; init; }
}
