using Offtape.Signal;

namespace Offtape.Simulator;

/// <summary>
/// Linear filters from a magnitude response: zero phase, or the minimum phase that belongs to it by the cepstrum (A. V. Oppenheim and
/// R. W. Schafer, Discrete-Time Signal Processing, chapter on cepstrum analysis: the folded cepstrum of log|H|).
/// </summary>
internal sealed class FirDesign
{
    // About 1.5 Hz: fine enough for a bass edge of 20 Hz, and for the cepstrum not to fold onto itself.
    private readonly int _gridLength;

    // Magnitudes below this are taken as this: a logarithm needs a floor.
    private const double Floor = 1e-6;

    private readonly double[] _taps;
    private readonly int _delayFrames;

    /// <param name="magnitudeAtHz">The response wanted, linear, at any frequency from 0 to half the rate.</param>
    /// <param name="sampleRateHz">The rate.</param>
    /// <param name="minimumPhase">Minimum phase, else zero phase.</param>
    internal FirDesign(Func<double, double> magnitudeAtHz, int sampleRateHz, bool minimumPhase)
    {
        var tapCount = sampleRateHz <= 50_000 ? 4097 : 8193;
        _gridLength = sampleRateHz <= 50_000 ? 1 << 15 : 1 << 16;
        var bins = _gridLength / 2 + 1;
        var magnitude = new double[bins];
        for (var k = 0; k < bins; k++)
            magnitude[k] = Math.Max(Floor, magnitudeAtHz((double)k * sampleRateHz / _gridLength));
        var response = minimumPhase ? MinimumPhase(magnitude) : ZeroPhase(magnitude);
        _taps = new double[tapCount];
        _delayFrames = minimumPhase ? 0 : tapCount / 2;
        for (var i = 0; i < tapCount; i++)
        {
            // Hann over both halves, or over the tail alone: the ends of the response leave without a step.
            var r = (double)(i - _delayFrames) / (minimumPhase ? tapCount : tapCount / 2);
            var window = 0.5 + 0.5 * Math.Cos(Math.PI * r);
            _taps[i] = response[(i - _delayFrames + _gridLength) % _gridLength] * window;
        }
    }

    /// <summary>A filter of this design, with scratch of its own.</summary>
    internal FirFilter NewFilter() => new(_taps, _delayFrames);

    private double[] ZeroPhase(double[] magnitude)
    {
        var transform = new DoubleTransform(_gridLength);
        return transform.RealFromSymmetric(magnitude);
    }

    private double[] MinimumPhase(double[] magnitude)
    {
        var transform = new DoubleTransform(_gridLength);
        var cepstrum = transform.RealFromSymmetric(Array.ConvertAll(magnitude, Math.Log));
        for (var i = 1; i < _gridLength / 2; i++)
        {
            cepstrum[i] *= 2;
            cepstrum[_gridLength - i] = 0;
        }
        var (re, im) = (cepstrum, new double[_gridLength]);
        transform.Forward(re, im);
        for (var k = 0; k < _gridLength; k++)
        {
            var size = Math.Exp(re[k]);
            var (sine, cosine) = Math.SinCos(im[k]);
            (re[k], im[k]) = (size * cosine, size * sine);
        }
        transform.Inverse(re, im);
        return re;
    }
}
