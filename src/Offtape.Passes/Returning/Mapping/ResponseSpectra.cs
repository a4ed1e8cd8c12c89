using System.Buffers;
using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>Spectra of source and capture in long windows, summed over those that fit: a dropout or a slip says nothing of the response.</summary>
internal ref struct ResponseSpectra
{
    private const double FitShare = 0.8;
    private const double FitQuantile = 0.8;

    private readonly ReadOnlySpan<float> _source;
    private readonly ReadOnlySpan<float> _capture;
    private readonly RealTransform _transform;
    private readonly float[] _window;
    private readonly float[] _block;
    private readonly double[] _hiss;
    private readonly double _error;
    private readonly int _hop;
    private readonly int _bins;
    private readonly float[] _sourceRe;
    private readonly float[] _sourceIm;
    private readonly float[] _captureRe;
    private readonly float[] _captureIm;

    internal ResponseSpectra(
        ReadOnlySpan<float> source,
        ReadOnlySpan<float> capture,
        int windowFrames,
        int hopFrames,
        float[] hissDensity,
        double error
    )
    {
        _source = source;
        _capture = capture;
        (_hop, _error) = (hopFrames, error);
        _transform = new RealTransform(windowFrames);
        _bins = _transform.BinCount;
        _window = new float[windowFrames];
        _block = new float[windowFrames];
        Windows.Hann(_window, WindowForm.Periodic);
        var energy = _window.Sum(w => (double)w * w);
        _hiss = new double[_bins];
        for (var k = 0; k < _bins; k++)
            _hiss[k] = hissDensity[(int)((long)k * (hissDensity.Length - 1) / (_bins - 1))] * energy + 1e-12;
        (_sourceRe, _sourceIm, _captureRe, _captureIm) = (new float[_bins], new float[_bins], new float[_bins], new float[_bins]);
    }

    /// <summary>Σ|X|²/noise and Σ Y·X*/noise over the frames whose cross-spectrum points one way, from <paramref name="lowHz"/> to <paramref name="highHz"/>.</summary>
    internal readonly ResponseEvidence Sum(double lowHz, double highHz, double rateHz, Func<int, double>? trust)
    {
        var binHz = rateHz / _window.Length;
        var (first, end) = ((int)Math.Ceiling(lowHz / binHz), Math.Min(_bins, (int)Math.Ceiling(highHz / binHz)));
        var frames = Math.Max(1, (_source.Length + _hop - 1) / _hop);
        var fit = new double[frames];
        var (power, cross) = (ArrayPool<float>.Shared.Rent(frames * _bins), ArrayPool<float>.Shared.Rent(2 * frames * _bins));
        try
        {
            for (var frame = 0; frame < frames; frame++)
            {
                Load(frame);
                var powers = power.AsSpan(frame * _bins, _bins);
                var res = cross.AsSpan(2 * frame * _bins, _bins);
                var ims = cross.AsSpan((2 * frame + 1) * _bins, _bins);
                for (var k = 0; k < _bins; k++)
                {
                    powers[k] = _sourceRe[k] * _sourceRe[k] + _sourceIm[k] * _sourceIm[k];
                    // Y · X*
                    res[k] = _captureRe[k] * _sourceRe[k] + _captureIm[k] * _sourceIm[k];
                    ims[k] = _captureIm[k] * _sourceRe[k] - _captureRe[k] * _sourceIm[k];
                }
                double along = 0,
                    all = 1e-12;
                for (var k = first; k < end; k++)
                {
                    var weight = 1 / (_hiss[k] + _error * powers[k]);
                    along += res[k] * weight;
                    all += MathF.Sqrt(res[k] * res[k] + ims[k] * ims[k]) * weight;
                }
                fit[frame] = along / all;
            }
            var sorted = fit.Order().ToArray();
            var least = FitShare * sorted[(int)(FitQuantile * (frames - 1))];
            var (sourcePower, crossRe, crossIm) = (new double[_bins], new double[_bins], new double[_bins]);
            for (var frame = 0; frame < frames; frame++)
            {
                if (fit[frame] < least)
                    continue;
                var share = trust?.Invoke(frame * _hop) ?? 1;
                var powers = power.AsSpan(frame * _bins, _bins);
                var res = cross.AsSpan(2 * frame * _bins, _bins);
                var ims = cross.AsSpan((2 * frame + 1) * _bins, _bins);
                for (var k = 1; k < _bins; k++)
                {
                    var weight = share / (_hiss[k] + _error * powers[k]);
                    sourcePower[k] += powers[k] * weight;
                    crossRe[k] += res[k] * weight;
                    crossIm[k] += ims[k] * weight;
                }
            }
            return new ResponseEvidence(sourcePower, crossRe, crossIm);
        }
        finally
        {
            ArrayPool<float>.Shared.Return(power);
            ArrayPool<float>.Shared.Return(cross);
        }
    }

    private readonly void Load(int frame)
    {
        Transform(_source, frame, _sourceRe, _sourceIm);
        Transform(_capture, frame, _captureRe, _captureIm);
    }

    private readonly void Transform(ReadOnlySpan<float> signal, int frame, float[] re, float[] im)
    {
        var start = frame * _hop - _window.Length / 2;
        var skip = Math.Max(0, -start);
        var count = Math.Clamp(signal.Length - start - skip, 0, _window.Length - skip);
        Array.Clear(_block);
        for (var i = 0; i < count; i++)
            _block[skip + i] = signal[start + skip + i] * _window[skip + i];
        _transform.Forward(_block, re, im);
    }
}
