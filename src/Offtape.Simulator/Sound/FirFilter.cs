using Offtape.Signal;

namespace Offtape.Simulator;

/// <summary>A long linear filter applied to a whole signal by blocks of transforms (overlap-save). Not for use by two threads at once.</summary>
internal sealed class FirFilter
{
    private readonly int _block;
    private readonly int _tapCount;
    private readonly int _delayFrames;
    private readonly RealTransform _transform;
    private readonly float[] _filterRe;
    private readonly float[] _filterIm;
    private readonly float[] _re;
    private readonly float[] _im;
    private readonly float[] _time;

    /// <param name="taps">The impulse response.</param>
    /// <param name="delayFrames">The tap that stands at time zero: 0 for a causal filter, the middle for a zero-phase one.</param>
    internal FirFilter(ReadOnlySpan<double> taps, int delayFrames)
    {
        var length = 4096;
        while (length < 4 * taps.Length)
            length *= 2;
        _tapCount = taps.Length;
        _delayFrames = delayFrames;
        _block = length - taps.Length + 1;
        _transform = new RealTransform(length);
        _time = new float[length];
        _re = new float[_transform.BinCount];
        _im = new float[_transform.BinCount];
        _filterRe = new float[_transform.BinCount];
        _filterIm = new float[_transform.BinCount];
        for (var i = 0; i < taps.Length; i++)
            _time[i] = (float)taps[i];
        _transform.Forward(_time, _filterRe, _filterIm);
    }

    /// <summary>Filters the whole signal; the output may be the input itself. What lies before and after the signal is silence.</summary>
    internal void Apply(ReadOnlySpan<float> input, Span<float> output)
    {
        // In place, a block's output is written over input that the next block still needs: that much of it is kept aside.
        var kept = new float[_tapCount - 1];
        var result = new float[_transform.Length];
        // Output frame n needs input frames n + delay − (tapCount − 1) to n + delay.
        for (var from = 0L; from < output.Length; from += _block)
        {
            var firstNeeded = from + _delayFrames - (_tapCount - 1);
            for (var i = 0; i < _time.Length; i++)
            {
                var frame = firstNeeded + i;
                _time[i] =
                    i < kept.Length && from > 0 ? kept[i]
                    : frame >= 0 && frame < input.Length ? input[(int)frame]
                    : 0;
            }
            Array.Copy(_time, _block, kept, 0, kept.Length);
            _transform.Forward(_time, _re, _im);
            for (var k = 0; k < _re.Length; k++)
            {
                var (a, b) = (_re[k], _im[k]);
                _re[k] = a * _filterRe[k] - b * _filterIm[k];
                _im[k] = a * _filterIm[k] + b * _filterRe[k];
            }
            _transform.Inverse(_re, _im, result);
            var count = (int)Math.Min(_block, output.Length - from);
            result.AsSpan(_tapCount - 1, count).CopyTo(output[(int)from..]);
        }
    }
}
