namespace Offtape.Simulator;

/// <summary>What the machine does to the sound itself, heads and electronics together, at its own speed.</summary>
public sealed record SoundModel
{
    /// <summary>Where the treble is 3 dB down, in Hz, by losses that grow with frequency as those of heads do; ∞ for none.</summary>
    public double TrebleLimitHz { get; init; } = double.PositiveInfinity;

    /// <summary>Where the bass is 3 dB down, in Hz (second order); 0 for none.</summary>
    public double BassLimitHz { get; init; }

    /// <summary>Centre of the head bump in Hz.</summary>
    public double HeadBumpHz { get; init; } = 60;

    /// <summary>Height of the head bump in dB; 0 for none.</summary>
    public double HeadBumpDb { get; init; }

    /// <summary>True: the phase that belongs to the response (minimum phase). False: no phase at all, so that the time map is the only delay.</summary>
    public bool MinimumPhase { get; init; } = true;

    /// <summary>Level over operating level at which the third harmonic of a mid-frequency sine reaches 3 % (MOL); ∞ for a tape that never saturates.</summary>
    public double MaximumOutputLevelDb { get; init; } = double.PositiveInfinity;

    /// <summary>Second harmonic at operating level in per cent: asymmetry of bias or of a magnetised head.</summary>
    public double SecondHarmonicPercent { get; init; }
}

/// <summary>What is heard without a sound, and along with one.</summary>
public sealed record NoiseModel
{
    /// <summary>Operating level against the noise of 100 Hz to 10 kHz, RMS to RMS, in dB; ∞ for silence.</summary>
    public double SignalToNoiseDb { get; init; } = double.PositiveInfinity;
}

/// <summary>How tracks lie beside each other.</summary>
public sealed record TrackModel
{
    /// <summary>Level of a neighbouring track's sound against that sound, in dB; −∞ for none.</summary>
    public double CrosstalkDb { get; init; } = double.NegativeInfinity;

    /// <summary>How late each track is against the one before it, in microseconds (azimuth of record against replay).</summary>
    public double InterChannelDelayMicroseconds { get; init; }

    /// <summary>Root mean square of the slow wander of that delay, in microseconds (country-laning).</summary>
    public double DelayWanderMicroseconds { get; init; }

    /// <summary>Gain of each track against the one before it, in dB.</summary>
    public double BalanceDb { get; init; }
}

/// <summary>How often and how deep the tape leaves the head or lacks its coating.</summary>
public sealed record DropoutModel
{
    /// <summary>On each track; 0 for none.</summary>
    public double PerMinute { get; init; }

    public double ShortestMilliseconds { get; init; } = 5;

    public double LongestMilliseconds { get; init; } = 60;

    public double ShallowestDb { get; init; } = 3;

    public double DeepestDb { get; init; } = 20;
}
