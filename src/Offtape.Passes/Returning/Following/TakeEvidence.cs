using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Following;

/// <summary>
/// How much of what is heard along a path is this source and nothing else: the coherence of source and capture in third-octave bands,
/// with the hiss taken out of it. The same recording stays coherent in every band that stands out of the hiss, through any equalisation;
/// another hit of the same drum shares its tones but not its noise.
/// </summary>
internal sealed record TakeEvidence
{
    /// <summary>Squared coherence of each band with enough sound, hiss removed, from low to high; 1 = the same recording.</summary>
    internal required double[] BandCoherence { get; init; }

    /// <summary>Share of the sounding windows in which the capture stands out of its hiss at all.</summary>
    internal required double HeardShare { get; init; }

    /// <summary>Gain of the capture over the source, linear: ratio of the coherent parts.</summary>
    internal required double Gain { get; init; }

    /// <summary>+1, or −1 where the capture is upside down.</summary>
    internal required int Polarity { get; init; }

    internal double Median => Quantile(0.5);

    internal double LowerQuarter => Quantile(0.25);

    internal double Mean => BandCoherence.Length == 0 ? 0 : BandCoherence.Average();

    /// <summary>One number to rank rivals by: 0 nothing, 1 the recording itself.</summary>
    internal double Score => BandCoherence.Length < 3 ? 0 : HeardShare * (0.5 * Median + 0.25 * Mean + 0.25 * LowerQuarter);

    private double Quantile(double share)
    {
        if (BandCoherence.Length == 0)
            return 0;
        var sorted = BandCoherence.Order().ToArray();
        var position = share * (sorted.Length - 1);
        var i = (int)position;
        return i + 1 < sorted.Length ? sorted[i] + (position - i) * (sorted[i + 1] - sorted[i]) : sorted[i];
    }
}
