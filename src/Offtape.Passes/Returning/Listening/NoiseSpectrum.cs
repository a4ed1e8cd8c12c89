using Offtape.Signal;

namespace Offtape.Passes.Listening;

/// <summary>What a capture sounds like where nothing plays: mean power of its quietest windows, by frequency.</summary>
internal sealed class NoiseSpectrum
{
    internal const int WindowFrames = 640;
    internal const int TransformLength = 1024;

    internal NoiseSpectrum(float[] power, double rateHz, IReadOnlyList<double> quietSeconds) =>
        (Power, RateHz, QuietSeconds) = (power, rateHz, quietSeconds);

    /// <summary>Mean |X|² of a Hann window of <see cref="WindowFrames"/> frames in a transform of <see cref="TransformLength"/>, per bin.</summary>
    internal float[] Power { get; }

    internal double RateHz { get; }

    /// <summary>When the quietest windows begin, quietest first.</summary>
    internal IReadOnlyList<double> QuietSeconds { get; }
}

/// <summary>Makes a <see cref="NoiseSpectrum"/> from frames in order; keeps a few thousand windows however long the capture.</summary>
internal sealed class NoiseSpectrumBuilder
{
    // Quietest share of the windows, and never fewer than this many: enough to average, few enough to stay between the sounds.
    private const double QuietShare = 0.03;
    private const int FewestWindows = 8;
    private const int MostWindows = 3000;

    // A gate, or a leader that was never recorded, says nothing about the machine.
    private const double DigitalSilencePower = 1e-13;

    private readonly double _rateHz;
    private readonly long _hop;
    private readonly RealTransform _transform = new(NoiseSpectrum.TransformLength);
    private readonly float[] _window = new float[NoiseSpectrum.WindowFrames];
    private readonly float[] _padded = new float[NoiseSpectrum.TransformLength];
    private readonly float[] _pending = new float[NoiseSpectrum.WindowFrames];
    private readonly float[] _re;
    private readonly float[] _im;
    private readonly List<(double Total, float[] Power, double Seconds)> _powers = [];
    private long _frame;
    private int _filled;

    internal NoiseSpectrumBuilder(double rateHz, long frameCount)
    {
        _rateHz = rateHz;
        _hop = Math.Max(NoiseSpectrum.WindowFrames, frameCount / MostWindows);
        (_re, _im) = (new float[_transform.BinCount], new float[_transform.BinCount]);
        Windows.Hann(_window, WindowForm.Symmetric);
    }

    internal void Add(ReadOnlySpan<float> frames)
    {
        foreach (var value in frames)
        {
            if (_frame++ % _hop == 0)
                _filled = 0;
            if (_filled >= _pending.Length)
                continue;
            _pending[_filled++] = value;
            if (_filled == _pending.Length)
                Take();
        }
    }

    internal NoiseSpectrum Build()
    {
        _powers.Sort((a, b) => a.Total.CompareTo(b.Total));
        var count = Math.Min(_powers.Count, Math.Max(FewestWindows, (int)(_powers.Count * QuietShare)));
        var mean = new float[_transform.BinCount];
        for (var i = 0; i < count; i++)
        {
            for (var k = 0; k < mean.Length; k++)
                mean[k] += _powers[i].Power[k] / count;
        }
        return new NoiseSpectrum(mean, _rateHz, [.. _powers.Take(count).Select(p => p.Seconds)]);
    }

    private void Take()
    {
        _padded.AsSpan().Clear();
        for (var i = 0; i < _pending.Length; i++)
            _padded[i] = _pending[i] * _window[i];
        _transform.Forward(_padded, _re, _im);
        var power = new float[_re.Length];
        double total = 0;
        var lowBin = (int)(100 * NoiseSpectrum.TransformLength / _rateHz);
        for (var k = 0; k < power.Length; k++)
        {
            power[k] = _re[k] * _re[k] + _im[k] * _im[k];
            total += k >= lowBin ? power[k] : 0;
        }
        if (total / NoiseSpectrum.WindowFrames / NoiseSpectrum.TransformLength > DigitalSilencePower)
            _powers.Add((total, power, (_frame - NoiseSpectrum.WindowFrames) / _rateHz));
    }
}
