namespace Offtape.Bench;

/// <summary>One law tried on a response: how likely it is against the others, and the size that it would have.</summary>
/// <param name="Law">The law.</param>
/// <param name="LogEvidence">Logarithm of its likelihood, over all sizes alike in logarithm.</param>
/// <param name="SizeMicrometres">Most likely size; of azimuth the aperture.</param>
/// <param name="SizeSigma">Its standard uncertainty, as a share of it.</param>
internal sealed record LossFit(LossLaw Law, double LogEvidence, double SizeMicrometres, double SizeSigma)
{
    private const int SizeCount = 400;

    // From a loss nobody hears at the top of the band to the largest the law can have: three decades.
    private const double SmallestShare = 1e-3;

    /// <param name="likelihood">Of the response.</param>
    /// <param name="law">What is tried.</param>
    /// <param name="wavelengthAtOneHertz">Tape speed in µm/s.</param>
    /// <param name="sizeEvidence">Logarithm of what else speaks for a size in µm; 0 for nothing.</param>
    internal static LossFit Of(ResponseLikelihood likelihood, LossLaw law, double wavelengthAtOneHertz, Func<double, double> sizeEvidence)
    {
        var shortest = wavelengthAtOneHertz / likelihood.Hz[^1];
        var largest = law.LargestOverWavelength() * shortest;
        var (sizes, logs) = (new double[SizeCount], new double[SizeCount]);
        for (var i = 0; i < SizeCount; i++)
        {
            sizes[i] = largest * Math.Pow(SmallestShare, 1 - (double)i / (SizeCount - 1));
            var size = sizes[i];
            var reference = law.Db(size, wavelengthAtOneHertz / 1000);
            logs[i] = likelihood.Of(hz => law.Db(size, wavelengthAtOneHertz / hz) - reference) + sizeEvidence(size);
        }
        var best = Array.IndexOf(logs, logs.Max());
        var (sum, first, second) = (0.0, 0.0, 0.0);
        for (var i = 0; i < SizeCount; i++)
        {
            var weight = Math.Exp(logs[i] - logs[best]);
            var x = Math.Log(sizes[i] / sizes[best]);
            (sum, first, second) = (sum + weight, first + weight * x, second + weight * x * x);
        }
        var mean = first / sum;
        // The grid is no finer than this: half a step is added.
        var step = -Math.Log(SmallestShare) / (SizeCount - 1);
        return new LossFit(
            law,
            logs[best] + Math.Log(sum / SizeCount),
            sizes[best] * Math.Exp(mean),
            Math.Sqrt(Math.Max(0, second / sum - mean * mean) + step * step / 12)
        );
    }
}
