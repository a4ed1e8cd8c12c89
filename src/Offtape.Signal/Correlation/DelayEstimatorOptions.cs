namespace Offtape.Signal;

/// <summary>What a <see cref="DelayEstimator"/> compares and how it weighs it. Frequencies in Hz belong to <see cref="SampleRateHz"/>.</summary>
public sealed record DelayEstimatorOptions
{
    public required double SampleRateHz { get; init; }

    /// <summary>Frames compared at once; at least 16.</summary>
    public required int WindowFrames { get; init; }

    /// <summary>The search goes this far to either side; at least 1.</summary>
    public required int MaxLagFrames { get; init; }

    /// <summary>
    /// β in G = C ÷ |C|^β: 0 leaves the cross-spectrum as it is (best where signal and noise have the same colour), 1 keeps its phase only
    /// (PHAT: sharpest peak, noise counts as much as sound), between is a compromise for coloured sounds in coloured noise.
    /// </summary>
    public double WhiteningExponent { get; init; } = 0.5;

    /// <summary>Lower edge of the band used; the weight rises over a third of an octave below it. 0: from 0 Hz.</summary>
    public double LowHz { get; init; }

    /// <summary>Upper edge of the band used; the weight falls over a third of an octave above it. 0: to the Nyquist frequency.</summary>
    public double HighHz { get; init; }

    /// <summary>A weight of one's own, by frequency in Hz, multiplied in; not negative. Null: 1 everywhere.</summary>
    public Func<double, double>? WeightAtHz { get; init; }

    /// <summary>The part of the window, both ends together, that is faded (raised cosine on the product of both signals); 0 to 1.</summary>
    public double EdgeTaper { get; init; } = 0.25;

    /// <summary>Only upright matches: negative peaks, which mean that one signal is upside down, are not looked for.</summary>
    public bool UprightOnly { get; init; }
}
