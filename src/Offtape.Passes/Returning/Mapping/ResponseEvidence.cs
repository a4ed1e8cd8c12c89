namespace Offtape.Passes.Mapping;

/// <summary>What is known of a machine's response, by bin of a long window: sums over windows, each divided by its noise.</summary>
/// <param name="SourcePower">Σ|X|²/noise.</param>
/// <param name="CrossRe">Real part of ΣY·X*/noise.</param>
/// <param name="CrossIm">Its imaginary part.</param>
internal sealed record ResponseEvidence(double[] SourcePower, double[] CrossRe, double[] CrossIm)
{
    private const int WindowFrames = 4096;

    // Side by side: windows that overlap would cost twice as much and say little more.
    private const int HopFrames = WindowFrames;
    private const double SourceError = 3e-3;

    internal static double BinHz => MapSection.RateHz / WindowFrames;

    /// <summary>Measures a section that is in time already.</summary>
    /// <param name="source">Through the tape's curve.</param>
    /// <param name="capture">Along the map, as long.</param>
    /// <param name="hissDensity">As of <see cref="MapSection"/>.</param>
    /// <param name="highHz">Up to here the map is in time.</param>
    /// <param name="trust">How far the map is known apart from the low notes, 0 to 1, by sample; null for everywhere alike.</param>
    internal static ResponseEvidence Measure(
        ReadOnlySpan<float> source,
        ReadOnlySpan<float> capture,
        float[] hissDensity,
        double highHz,
        Func<int, double>? trust = null
    ) => new ResponseSpectra(source, capture, WindowFrames, HopFrames, hissDensity, SourceError).Sum(40, highHz, MapSection.RateHz, trust);

    /// <summary>This and a share of another's.</summary>
    internal ResponseEvidence With(ResponseEvidence other, double share = 1)
    {
        double[] Sum(double[] a, double[] b) => [.. a.Zip(b, (x, y) => x + share * y)];
        return new ResponseEvidence(Sum(SourcePower, other.SourcePower), Sum(CrossRe, other.CrossRe), Sum(CrossIm, other.CrossIm));
    }
}
