using Offtape.Passes.Following;

namespace Offtape.Passes.Mapping;

/// <summary>A stretch of one channel of a source and of the capture around it, in memory, both at the mapping rate.</summary>
internal sealed class MapSection
{
    /// <summary>Up to 12 kHz: what is above adds little that a machine passes, and costs as much again.</summary>
    internal const double RateHz = 24_000;

    /// <summary>43 ms: short against the machine's wobble, long against the period of the lowest notes.</summary>
    internal const int LongWindowFrames = 1024;

    /// <summary>Peak at 1.</summary>
    internal required float[] Source { get; init; }

    /// <summary>Tracker second of the source's first frame here.</summary>
    internal required double SourceStart { get; init; }

    /// <summary>Levelled to the source.</summary>
    internal required float[] Capture { get; init; }

    /// <summary>Frame of the capture (at the mapping rate) that Capture[0] is.</summary>
    internal required long CaptureStartFrame { get; init; }

    /// <summary>Hiss in units of the capture here: power per unit of window energy, by bin of a transform of <see cref="LongWindowFrames"/>.</summary>
    internal required float[] HissDensity { get; init; }

    /// <summary>First and last tracker second that both can hold.</summary>
    internal required double FirstHeard { get; init; }

    internal required double LastHeard { get; init; }

    /// <summary>The tape came out of a stop where the section begins to be heard, or went into one where it ends.</summary>
    internal required bool StartsFromStand { get; init; }

    internal required bool EndsInStand { get; init; }

    /// <summary>A map that is to be kept but for something slow: then lags are counted from it. Null: from a straight line.</summary>
    internal PathCurve? Guide { get; init; }
}
