using Offtape.Signal;

namespace Offtape.Passes.Following;

/// <summary>
/// Partially whitened cross-correlation of one capture window with source windows, fine enough for sub-sample peaks.
/// Generalised cross-correlation after C. H. Knapp and G. C. Carter, IEEE TASSP-24(4), 1976; the weighting |C|^−0.6 lies between the plain
/// correlation and the phase transform.
/// </summary>
internal sealed class WindowCorrelator
{
    /// <summary>40 ms at 16 kHz: short against the machine's wobble, long against a period of the lowest partials.</summary>
    internal const int WindowFrames = 640;

    /// <summary>Lag resolution of the correlation: this many points per frame before the parabola.</summary>
    internal const int Oversampling = 4;

    private const int TransformLength = 1024;
    private const int LagLength = TransformLength * Oversampling;
    private const double LowHz = 40;
    private const double HighHz = 5000;
    private const double TaperHz = 120;
    private const double Whitening = 0.6;

    private readonly RealTransform _forward = new(TransformLength);
    private readonly RealTransform _inverse = new(LagLength);
    private readonly float[] _window = new float[WindowFrames];
    private readonly float[] _padded = new float[TransformLength];
    private readonly float[] _captureRe;
    private readonly float[] _captureIm;
    private readonly float[] _re;
    private readonly float[] _im;
    private readonly float[] _productRe = new float[LagLength / 2 + 1];
    private readonly float[] _productIm = new float[LagLength / 2 + 1];
    private readonly float[] _taper;
    private readonly float[] _hertz;
    private readonly int _firstBin;
    private readonly int _endBinExcl;

    internal WindowCorrelator(double rateHz)
    {
        var binCount = TransformLength / 2 + 1;
        (_captureRe, _captureIm, _re, _im) = (new float[binCount], new float[binCount], new float[binCount], new float[binCount]);
        Windows.Hann(_window, WindowForm.Symmetric);
        _taper = new float[binCount];
        _hertz = new float[binCount];
        for (var k = 0; k < binCount; k++)
        {
            var hertz = k * rateHz / TransformLength;
            _hertz[k] = (float)hertz;
            _taper[k] = (float)(hertz * hertz / (hertz * hertz + TaperHz * TaperHz));
        }
        _firstBin = (int)Math.Ceiling(LowHz * TransformLength / rateHz);
        _endBinExcl = Math.Min(binCount, (int)Math.Floor(HighHz * TransformLength / rateHz) + 1);
    }

    /// <summary>The correlation of the last pair, index = lag × <see cref="Oversampling"/> modulo its length, over its bound Σ|G|. Positive lag: the capture is late.</summary>
    internal float[] Correlation { get; } = new float[LagLength];

    /// <summary>How many independent cells of the spectrum carry the correlation (time–bandwidth product of the window).</summary>
    internal double IndependentCells { get; private set; }

    /// <summary>Mean square frequency of the weighting.</summary>
    internal double MeanSquareHz { get; private set; }

    /// <summary>Takes the capture window of <see cref="WindowFrames"/> frames.</summary>
    internal void SetCapture(ReadOnlySpan<float> capture) => Transform(capture, _captureRe, _captureIm);

    /// <summary>Correlates a source window of <see cref="WindowFrames"/> frames with the capture window.</summary>
    internal void Correlate(ReadOnlySpan<float> source)
    {
        Transform(source, _re, _im);
        var greatest = 0f;
        for (var k = _firstBin; k < _endBinExcl; k++)
            greatest = Math.Max(greatest, _re[k] * _re[k] + _im[k] * _im[k]);
        var floor = 1e-3f * greatest + 1e-20f;
        Array.Clear(_productRe);
        Array.Clear(_productIm);
        double sum = 0,
            sumOfSquares = 0,
            sumSquareHz = 0;
        for (var k = _firstBin; k < _endBinExcl; k++)
        {
            var power = _re[k] * _re[k] + _im[k] * _im[k];
            if (power <= floor * 1e-2f)
                continue;
            var re = _captureRe[k] * _re[k] + _captureIm[k] * _im[k];
            var im = _captureIm[k] * _re[k] - _captureRe[k] * _im[k];
            var magnitude = MathF.Sqrt(re * re + im * im);
            var weight = _taper[k] * MathF.Pow(magnitude + floor * 1e-3f, -(float)Whitening);
            (_productRe[k], _productIm[k]) = (re * weight, im * weight);
            var g = magnitude * weight;
            sum += g;
            sumOfSquares += (double)g * g;
            sumSquareHz += (double)g * _hertz[k] * _hertz[k];
        }
        if (sum <= 0)
        {
            Array.Clear(Correlation);
            (IndependentCells, MeanSquareHz) = (0, 1);
            return;
        }
        _inverse.Inverse(_productRe, _productIm, Correlation);
        // The inverse divides by its length and counts each bin twice: a perfect match gives 2·Σ|G| / length.
        var scale = (float)(LagLength / (2 * sum));
        for (var i = 0; i < Correlation.Length; i++)
            Correlation[i] *= scale;
        // 0.3: bins of a zero-padded Hann window are not independent (window's noise bandwidth and padding).
        IndependentCells = 0.48 * (sum * sum / sumOfSquares) * WindowFrames / TransformLength;
        MeanSquareHz = sumSquareHz / sum;
    }

    /// <summary>The correlation at a whole step of 1 / (rate × <see cref="Oversampling"/>).</summary>
    internal float At(int step) => Correlation[step & (LagLength - 1)];

    private void Transform(ReadOnlySpan<float> input, float[] re, float[] im)
    {
        for (var i = 0; i < WindowFrames; i++)
            _padded[i] = input[i] * _window[i];
        _forward.Forward(_padded, re, im);
    }
}
