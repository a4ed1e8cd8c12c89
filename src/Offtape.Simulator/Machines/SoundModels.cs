using Offtape.Tape;

namespace Offtape.Simulator;

/// <summary>How the tape bends a loud signal.</summary>
public enum TapeCurve
{
    /// <summary>Not at all: the machine is linear at any level.</summary>
    Straight,

    /// <summary>A curve without memory: a shifted hyperbolic tangent.</summary>
    Saturating,

    /// <summary>Magnetic hysteresis by the model of Jiles and Atherton, narrow as bias makes it; several times slower to compute.</summary>
    Hysteresis,
}

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

    public TapeCurve Curve { get; init; } = TapeCurve.Straight;

    /// <summary>Output over operating level at which the third harmonic of a mid-frequency sine reaches 3 % (MOL), in dB, above 0.</summary>
    public double MaximumOutputLevelDb { get; init; } = 5;

    /// <summary>Second harmonic at operating level in per cent: asymmetry of bias or of a magnetised head. Of the saturating curve.</summary>
    public double SecondHarmonicPercent { get; init; }

    /// <summary>The characteristic the tape is recorded with, where it is not the one it is replayed with (a switch in the wrong place); null when they agree.</summary>
    public Equalisation? RecordedWith { get; init; }

    /// <summary>The characteristic the tape is replayed with; null when it agrees with the recording.</summary>
    public Equalisation? ReplayedWith { get; init; }

    /// <summary>Time constant of the treble lift in front of the tape's curve, taken off behind it: treble overloads first. 0 for none.</summary>
    public double RecordEmphasisMicroseconds { get; init; } = 40;
}

/// <summary>What is heard without a sound, and along with one.</summary>
public sealed record NoiseModel
{
    /// <summary>Operating level against the noise of 100 Hz to 10 kHz, RMS to RMS, in dB; ∞ for silence.</summary>
    public double SignalToNoiseDb { get; init; } = double.PositiveInfinity;

    /// <summary>Noise that follows the sound, in dB against it, within about 2 kHz on either side; −∞ for none.</summary>
    public double ModulationNoiseDb { get; init; } = double.NegativeInfinity;

    /// <summary>Mains hum with its harmonics, in dB against operating level, RMS to RMS; −∞ for none.</summary>
    public double HumDb { get; init; } = double.NegativeInfinity;

    public double HumHz { get; init; } = 50;
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
