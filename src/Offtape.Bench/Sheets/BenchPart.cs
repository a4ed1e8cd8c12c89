namespace Offtape.Bench;

/// <summary>One part of the check signal, as it stands in the send.</summary>
public sealed record BenchPart
{
    public required BenchPartKind Kind { get; init; }

    /// <summary>Its name, once on a sheet: <c>sweep-0-left</c>.</summary>
    public required string Name { get; init; }

    /// <summary>Where its sound begins, in seconds of the send, on a whole frame.</summary>
    public required double StartSeconds { get; init; }

    /// <summary>Length of its sound in seconds; the fades at its ends are within it.</summary>
    public required double LengthSeconds { get; init; }

    /// <summary>Channels that carry it, from 1; all others are silent meanwhile.</summary>
    public required IReadOnlyList<int> Channels { get; init; }

    /// <summary>Peak of its sines against operating level, in dB: of the tone, the sweep, or each tone of a multitone (see <see cref="ToneLevelDb"/>).</summary>
    public double LevelDb { get; init; }

    /// <summary>Frequency of a tone or staircase in Hz.</summary>
    public double? FrequencyHz { get; init; }

    /// <summary>Steps of a staircase: the peak of each against operating level in dB, one after another, of equal length.</summary>
    public IReadOnlyList<double> StepLevelsDb { get; init; } = [];

    /// <summary>First frequency of a sweep.</summary>
    public double? FromHz { get; init; }

    /// <summary>Last frequency of a sweep.</summary>
    public double? ToHz { get; init; }

    /// <summary>Tones of a multitone.</summary>
    public IReadOnlyList<double> TonesHz { get; init; } = [];

    /// <summary>Phases of these tones at the part's first frame, in radians, as sines.</summary>
    public IReadOnlyList<double> PhasesRadians { get; init; } = [];

    /// <summary>Peak of each tone of a multitone against operating level, in dB; null otherwise.</summary>
    public double? ToneLevelDb { get; init; }
}
