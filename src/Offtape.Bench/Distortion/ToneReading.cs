using System.Numerics;

namespace Offtape.Bench;

/// <summary>A steady tone and its harmonics, as one stretch of a capture has them.</summary>
internal sealed record ToneReading
{
    internal const int HarmonicCount = 5;

    private const double ClearOfNoise = 3;

    /// <summary>Peak of the fundamental, full scale = 1.</summary>
    internal required double Amplitude { get; init; }

    /// <summary>Standard uncertainty of <see cref="Amplitude"/> from noise.</summary>
    internal required double AmplitudeSigma { get; init; }

    /// <summary>
    /// Peaks and phases of the first five harmonics, the fundamental's phase taken as that of a sine: a sine counts as real. Zero where a harmonic
    /// lies above what the capture holds.
    /// </summary>
    internal required Complex[] Harmonics { get; init; }

    /// <summary>Root mean square of the noise in each of <see cref="Harmonics"/> (both parts together).</summary>
    internal required double[] NoiseRms { get; init; }

    /// <summary>Mean of the stretch, full scale = 1.</summary>
    internal required double Offset { get; init; }

    /// <summary>A harmonic against the fundamental, its noise taken off in power; 0 where there is less than the noise.</summary>
    internal double Ratio(int order)
    {
        var (value, noise) = (Harmonics[order - 1].Magnitude, NoiseRms[order - 1]);
        return Math.Sqrt(Math.Max(0, value * value - noise * noise)) / Amplitude;
    }

    /// <summary>Standard uncertainty of <see cref="Ratio"/>: half of the noise lies along the harmonic.</summary>
    internal double RatioSigma(int order) => NoiseRms[order - 1] / Math.Sqrt(2) / Amplitude;

    /// <summary>A harmonic that stands at least three times over its noise.</summary>
    internal bool IsClear(int order) => Harmonics[order - 1].Magnitude > ClearOfNoise * NoiseRms[order - 1] && NoiseRms[order - 1] >= 0;

    /// <summary>Expanded uncertainty of <see cref="Ratio"/> where it is stated because it <see cref="IsClear"/>.</summary>
    internal double ClearExpanded(int order) =>
        Detected.Expanded(Ratio(order), RatioSigma(order), Math.Sqrt(ClearOfNoise * ClearOfNoise - 1) * NoiseRms[order - 1] / Amplitude);

    /// <summary>Root of the sum of squares of harmonics 2 to 5 against the fundamental.</summary>
    internal double Total => Math.Sqrt(Enumerable.Range(2, HarmonicCount - 1).Sum(n => Math.Pow(Ratio(n), 2)));
}
