using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Web.Listening;

/// <summary>The cross-correlation of source and take about zero lag, gathered over stretches: level, polarity and delay of the take.</summary>
internal sealed class LevelSums
{
    /// <summary>A take in lock lies where its source does: what is left is what heads stand askew. More would be the machine's phase in the bass.</summary>
    private const double MostDelaySeconds = 1e-4;

    private readonly float[] _window;
    private readonly RealTransform _transform;
    private readonly double[] _re;
    private readonly double[] _im;
    private double _sourcePower;
    private double _takePower;

    public LevelSums(int stretchFrames)
    {
        _window = new float[stretchFrames];
        Offtape.Signal.Windows.Hann(_window, WindowForm.Periodic);
        // As much silence after each stretch: nothing wraps round.
        _transform = new RealTransform(2 * stretchFrames);
        (_re, _im) = (new double[_transform.BinCount], new double[_transform.BinCount]);
    }

    /// <summary>How far beside a stretch of the source its take is looked at.</summary>
    public static int ReachFrames(int sampleRateHz) => Math.Max(1, (int)Math.Ceiling(MostDelaySeconds * sampleRateHz)) + 2;

    /// <param name="source">A stretch of the source.</param>
    /// <param name="take">The same stretch of the take, and so many frames more before and after it.</param>
    /// <param name="reachFrames">How many.</param>
    public void Add(ReadOnlySpan<float> source, ReadOnlySpan<float> take, int reachFrames)
    {
        var (s, t) = (new float[_transform.Length], new float[_transform.Length]);
        // The window goes on the products: the take is whole wherever the source is.
        take.CopyTo(t);
        for (var i = 0; i < _window.Length; i++)
        {
            s[i + reachFrames] = _window[i] * source[i];
            _sourcePower += _window[i] * (double)source[i] * source[i];
            _takePower += _window[i] * (double)take[i + reachFrames] * take[i + reachFrames];
        }
        var (sRe, sIm, tRe, tIm) = (new float[_re.Length], new float[_re.Length], new float[_re.Length], new float[_re.Length]);
        _transform.Forward(s, sRe, sIm);
        _transform.Forward(t, tRe, tIm);
        for (var k = 0; k < _re.Length; k++)
        {
            _re[k] += (double)sRe[k] * tRe[k] + (double)sIm[k] * tIm[k];
            _im[k] += (double)sRe[k] * tIm[k] - (double)sIm[k] * tRe[k];
        }
    }

    /// <summary>Null where one of the two is silent.</summary>
    public ChannelFit? Fit(int sampleRateHz)
    {
        if (_sourcePower <= 0 || _takePower <= 0)
            return null;
        var reach = ReachFrames(sampleRateHz) - 2;
        var best = 0;
        for (var lag = -reach; lag <= reach; lag++)
        {
            if (Math.Abs(At(lag)) > Math.Abs(At(best)))
                best = lag;
        }
        var sign = Math.Sign(At(best));
        var delay = Greatest(best - 1, best + 1, d => sign * At(d));
        var product = At(delay);
        var explained = Math.Min(1 - 1e-12, product * product / (_sourcePower * _takePower));
        return new ChannelFit(product / _takePower, delay, -Conversions.PowerToDb(1 - explained), Math.Sqrt(_takePower / _sourcePower), []);
    }

    /// <summary>Σ source[n]·take[n + delay], between frames too: the inverse transform at one time.</summary>
    private double At(double delayFrames)
    {
        var sum = 0.0;
        var step = 2 * Math.PI * delayFrames / _transform.Length;
        for (var k = 0; k < _re.Length; k++)
        {
            var (sin, cos) = Math.SinCos(step * k);
            sum += (k == 0 || k == _re.Length - 1 ? 1 : 2) * (_re[k] * cos - _im[k] * sin);
        }
        return sum / _transform.Length;
    }

    // Golden section: about its peak a correlation has one hump.
    private static double Greatest(double low, double high, Func<double, double> of)
    {
        const double exact = 1e-4;
        var golden = (Math.Sqrt(5) - 1) / 2;
        while (high - low > exact)
        {
            var (left, right) = (high - golden * (high - low), low + golden * (high - low));
            if (of(left) > of(right))
                high = right;
            else
                low = left;
        }
        return (low + high) / 2;
    }
}
