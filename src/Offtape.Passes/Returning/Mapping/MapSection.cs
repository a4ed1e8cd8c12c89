using Offtape.Passes.Following;
using Offtape.Signal;

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

    /// <summary>By what lies below no tape is followed: under the 40 Hz that DIN 45 500 sheet 4 asks of a machine there is rumble, and phase unknown.</summary>
    internal const double LowHz = 30;

    private const int FloorBlockFrames = 256;

    // A tone a third of an octave below the lowest is through the filter by less than this; what holds more has something to follow.
    private const int FloorOrder = 8;
    private const double FloorShare = 0.02;

    private bool[]? _isBelowFloor;

    /// <summary>All but a fiftieth of the source about a moment lies below <see cref="LowHz"/>. Never everywhere.</summary>
    /// <param name="seconds">Tracker second.</param>
    internal bool IsBelowFloor(double seconds)
    {
        _isBelowFloor ??= FindBelowFloor();
        var block = (int)((seconds - SourceStart) * RateHz / FloorBlockFrames);
        return _isBelowFloor[Math.Clamp(block, 0, _isBelowFloor.Length - 1)];
    }

    private bool[] FindBelowFloor()
    {
        var above = new float[Source.Length];
        new FilterCascade(FilterDesign.ButterworthHighPass(FloorOrder, LowHz, RateHz)).Process(Source, above);
        var count = (Source.Length - 1) / FloorBlockFrames + 1;
        var (all, high) = (new double[count], new double[count]);
        for (var i = 0; i < Source.Length; i++)
        {
            all[i / FloorBlockFrames] += (double)Source[i] * Source[i];
            high[i / FloorBlockFrames] += (double)above[i] * above[i];
        }
        // As far about a moment as a long window looks.
        const int reach = LongWindowFrames / 2 / FloorBlockFrames;
        var isBelow = new bool[count];
        for (var i = 0; i < count; i++)
        {
            var (from, to) = (Math.Max(0, i - reach), Math.Min(count, i + reach + 1));
            double allThere = 0,
                highThere = 0;
            for (var k = from; k < to; k++)
                (allThere, highThere) = (allThere + all[k], highThere + high[k]);
            isBelow[i] = highThere < FloorShare * allThere;
        }
        if (Array.TrueForAll(isBelow, b => b))
            Array.Clear(isBelow);
        return isBelow;
    }

    /// <summary>A map that is to be kept but for something slow: then lags are counted from it. Null: from a straight line.</summary>
    internal PathCurve? Guide { get; init; }
}
