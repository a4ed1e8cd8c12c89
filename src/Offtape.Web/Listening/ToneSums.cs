using Offtape.Signal;

namespace Offtape.Web.Listening;

/// <summary>
/// The filter by which a source is nearest to its take: mean of the cross-spectra ÷ mean of the source's power spectra over Hann-windowed
/// stretches (Welch, IEEE Trans. Audio Electroacoust. 15(2), 1967), cut to so many taps that it follows tone and not the sound itself.
/// </summary>
internal sealed class ToneSums
{
    private const int MostTaps = 1 << 13;
    private const int LeastTaps = 1 << 6;

    /// <summary>Frames of sound a tap: fitted to fewer, noise would be taken for tone. At 64 to one, a sixty-fourth of its power is.</summary>
    private const int FramesPerTap = 64;

    /// <summary>Where the source is 70 dB under its strongest band nothing can be told of it.</summary>
    private const double Floor = 1e-7;

    private readonly RealTransform _transform;
    private readonly float[] _window;
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double[] _power;

    public ToneSums(int stretchFrames)
    {
        _transform = new RealTransform(stretchFrames);
        _window = new float[stretchFrames];
        Offtape.Signal.Windows.Hann(_window, WindowForm.Periodic);
        var bins = _transform.BinCount;
        (_re, _im, _power) = (new double[bins], new double[bins], new double[bins]);
    }

    public void Add(ReadOnlySpan<float> source, ReadOnlySpan<float> take)
    {
        var (s, t) = (new float[_window.Length], new float[_window.Length]);
        for (var i = 0; i < _window.Length; i++)
            (s[i], t[i]) = (_window[i] * source[i], _window[i] * take[i]);
        var bins = _transform.BinCount;
        var (sRe, sIm, tRe, tIm) = (new float[bins], new float[bins], new float[bins], new float[bins]);
        _transform.Forward(s, sRe, sIm);
        _transform.Forward(t, tRe, tIm);
        for (var k = 0; k < bins; k++)
        {
            _re[k] += (double)sRe[k] * tRe[k] + (double)sIm[k] * tIm[k];
            _im[k] += (double)sRe[k] * tIm[k] - (double)sIm[k] * tRe[k];
            _power[k] += (double)sRe[k] * sRe[k] + (double)sIm[k] * sIm[k];
        }
    }

    /// <summary>An odd number of taps, time 0 in their middle.</summary>
    /// <param name="frameCount">Frames of the sound.</param>
    public float[] Response(long frameCount)
    {
        var half = LeastTaps / 2;
        while (2 * half < MostTaps && 4L * half * FramesPerTap <= frameCount)
            half *= 2;
        var floor = Floor * _power.Max();
        var (re, im) = (new float[_re.Length], new float[_re.Length]);
        for (var k = 0; k < re.Length && floor > 0; k++)
            (re[k], im[k]) = ((float)(_re[k] / (_power[k] + floor)), (float)(_im[k] / (_power[k] + floor)));
        var all = new float[_transform.Length];
        _transform.Inverse(re, im, all);
        var taps = new float[2 * half + 1];
        for (var i = -half; i <= half; i++)
            // Towards its ends it fades: a cut would ring.
            taps[i + half] = all[(i + all.Length) % all.Length] * (float)Fade(Math.Abs(i) / (double)(half + 1));
        return taps;
    }

    private static double Fade(double place) => place < 0.5 ? 1 : 0.5 + 0.5 * Math.Cos(2 * Math.PI * (place - 0.5));
}
