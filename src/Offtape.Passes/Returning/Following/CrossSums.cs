namespace Offtape.Passes.Following;

/// <summary>Sums over windows of cross-spectra and powers between the channels of a source and of a capture.</summary>
internal sealed class CrossSums
{
    private const int SmoothBins = 2;
    private const double AlikeCoherence = 0.995;

    private readonly int _sources;
    private readonly int _captures;
    private readonly int _bins;
    private readonly double[][] _crossRe;
    private readonly double[][] _crossIm;
    private readonly double[][] _source;
    private readonly double[][] _capture;
    private double _betweenRe;
    private double _firstPower;
    private double _secondPower;
    private int _windows;

    internal CrossSums(int sources, int captures, int bins)
    {
        (_sources, _captures, _bins) = (sources, captures, bins);
        (_crossRe, _crossIm) = (NewSums(sources * captures), NewSums(sources * captures));
        (_source, _capture) = (NewSums(sources), NewSums(captures));
    }

    /// <summary>What incoherent signals reach on average with this many windows and bins.</summary>
    internal double ChanceCoherence => _windows == 0 ? 1 : Math.Min(0.9, 1.0 / (_windows * (2 * SmoothBins + 1) * 0.4));

    internal float[][] NewSpectra(int count) => [.. Enumerable.Range(0, count).Select(_ => new float[_bins])];

    /// <summary>Adds one window, each at equal weight whatever its level: between energy and full whitening.</summary>
    /// <param name="sourceRe">Spectra of the source's channels.</param>
    /// <param name="sourceIm">Their imaginary parts.</param>
    /// <param name="captureRe">Spectra of the capture's channels.</param>
    /// <param name="captureIm">Their imaginary parts.</param>
    /// <param name="leastPower">A source window with less holds the capture's hiss and nothing else: left out.</param>
    internal void Add(float[][] sourceRe, float[][] sourceIm, float[][] captureRe, float[][] captureIm, double leastPower)
    {
        double power = 1e-20;
        for (var i = 0; i < _sources; i++)
        {
            for (var k = 0; k < _bins; k++)
                power += sourceRe[i][k] * sourceRe[i][k] + sourceIm[i][k] * sourceIm[i][k];
        }
        if (power < leastPower)
            return;
        var weight = 1 / Math.Sqrt(power);
        for (var i = 0; i < _sources; i++)
        {
            for (var k = 0; k < _bins; k++)
                _source[i][k] += weight * (sourceRe[i][k] * sourceRe[i][k] + sourceIm[i][k] * sourceIm[i][k]);
        }
        for (var j = 0; j < _captures; j++)
        {
            for (var k = 0; k < _bins; k++)
                _capture[j][k] += weight * (captureRe[j][k] * captureRe[j][k] + captureIm[j][k] * captureIm[j][k]);
            for (var i = 0; i < _sources; i++)
            {
                var (re, im) = (_crossRe[i * _captures + j], _crossIm[i * _captures + j]);
                for (var k = 0; k < _bins; k++)
                {
                    re[k] += weight * (captureRe[j][k] * sourceRe[i][k] + captureIm[j][k] * sourceIm[i][k]);
                    im[k] += weight * (captureIm[j][k] * sourceRe[i][k] - captureRe[j][k] * sourceIm[i][k]);
                }
            }
        }
        if (_sources > 1)
        {
            for (var k = 0; k < _bins; k++)
            {
                _betweenRe += weight * (sourceRe[0][k] * sourceRe[1][k] + sourceIm[0][k] * sourceIm[1][k]);
                _firstPower += weight * (sourceRe[0][k] * sourceRe[0][k] + sourceIm[0][k] * sourceIm[0][k]);
                _secondPower += weight * (sourceRe[1][k] * sourceRe[1][k] + sourceIm[1][k] * sourceIm[1][k]);
            }
        }
        _windows++;
    }

    /// <summary>Whether the source's first two channels are the same but for a little: then no order can be told.</summary>
    internal bool AreSourcesAlike() => _sources > 1 && Math.Abs(_betweenRe) > AlikeCoherence * Math.Sqrt(_firstPower * _secondPower);

    /// <summary>Cross-spectrum and powers about a bin, smoothed over its neighbours.</summary>
    internal (double CrossRe, double CrossIm, double Source, double Capture) Smoothed(int i, int j, int bin)
    {
        double re = 0,
            im = 0,
            source = 0,
            capture = 0;
        for (var k = Math.Max(0, bin - SmoothBins); k <= Math.Min(_bins - 1, bin + SmoothBins); k++)
        {
            re += _crossRe[i * _captures + j][k];
            im += _crossIm[i * _captures + j][k];
            source += _source[i][k];
            capture += _capture[j][k];
        }
        return (re, im, source, capture);
    }

    private double[][] NewSums(int count) => [.. Enumerable.Range(0, count).Select(_ => new double[_bins])];
}
