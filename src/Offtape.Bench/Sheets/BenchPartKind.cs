namespace Offtape.Bench;

/// <summary>What a part of the check signal is for.</summary>
public enum BenchPartKind
{
    /// <summary>A pulse of one polarity.</summary>
    Polarity,

    /// <summary>A steady tone at operating level.</summary>
    LevelTone,

    /// <summary>3150 Hz, for speed, wow and flutter.</summary>
    SpeedTone,

    /// <summary>Nothing, with the tape running and recording.</summary>
    Silence,

    /// <summary>A tone in steps of rising level.</summary>
    Staircase,

    /// <summary>A synchronised exponential sweep.</summary>
    Sweep,

    /// <summary>Many tones at once.</summary>
    Multitone,

    /// <summary>A loud tone whose second half is recorded over with silence on a second run.</summary>
    Erasure,
}
