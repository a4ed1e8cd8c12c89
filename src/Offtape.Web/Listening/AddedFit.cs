using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Web.Listening;

/// <summary>One channel of a take against its source.</summary>
/// <param name="Gain">The take is this times the source, by least squares; below 0: turned over.</param>
/// <param name="DelayFrames">And this much later.</param>
/// <param name="UnderDb">How far what is left lies under the source, in dB of power.</param>
internal readonly record struct ChannelFit(double Gain, double DelayFrames, double UnderDb);

/// <summary>
/// What is matched before the source is taken from a take: level, polarity and delay of each channel, such that least is left. Over stretches
/// spread through the whole sound, so that a long one takes no longer than a short one.
/// </summary>
internal static class AddedFit
{
    private const int StretchFrames = 1 << 16;
    private const int MostStretches = 16;

    /// <summary>A take in lock lies far nearer than this.</summary>
    private const double MostDelaySeconds = 0.002;

    /// <summary>Below this correlation the take is hardly the same sound, and a difference would say nothing of the tape.</summary>
    private const double LeastCorrelation = 0.2;

    /// <summary>Null where the two do not resemble each other, or the source is silent.</summary>
    /// <param name="source">The clean sound.</param>
    /// <param name="take">Its take in lock.</param>
    /// <param name="format">How both are heard.</param>
    public static ChannelFit[]? Of(IAudioReader source, IAudioReader take, HeardFormat format)
    {
        var lags = (int)Math.Ceiling(MostDelaySeconds * format.SampleRateHz);
        var transform = new RealTransform(2 * StretchFrames);
        var sums = new Sums[format.ChannelCount];
        for (var c = 0; c < sums.Length; c++)
            sums[c] = new Sums(transform.BinCount);
        var count = (int)Math.Clamp((format.FrameCount + StretchFrames - 1) / StretchFrames, 1, MostStretches);
        var (a, b) = (new float[StretchFrames * format.ChannelCount], new float[StretchFrames * format.ChannelCount]);
        for (var i = 0; i < count; i++)
        {
            var from = count == 1 ? 0 : Math.Max(0, (format.FrameCount - StretchFrames) * i / (count - 1));
            HeardFrames.Read(source, format, from, a);
            HeardFrames.Read(take, format, from, b);
            for (var c = 0; c < sums.Length; c++)
                sums[c].Add(transform, a, b, format.ChannelCount, c);
        }
        var fits = new ChannelFit[format.ChannelCount];
        for (var c = 0; c < fits.Length; c++)
        {
            if (sums[c].Fit(transform, lags) is not { } fit)
                return null;
            fits[c] = fit;
        }
        return fits;
    }

    private sealed class Sums(int binCount)
    {
        private readonly double[] _re = new double[binCount];
        private readonly double[] _im = new double[binCount];
        private double _sourcePower;
        private double _takePower;

        public void Add(RealTransform transform, float[] source, float[] take, int channelCount, int channel)
        {
            var (s, t) = (new float[transform.Length], new float[transform.Length]);
            for (int i = 0, j = channel; i < StretchFrames; i++, j += channelCount)
            {
                (s[i], t[i]) = (source[j], take[j]);
                _sourcePower += (double)s[i] * s[i];
                _takePower += (double)t[i] * t[i];
            }
            var (sRe, sIm, tRe, tIm) = (new float[_re.Length], new float[_re.Length], new float[_re.Length], new float[_re.Length]);
            transform.Forward(s, sRe, sIm);
            transform.Forward(t, tRe, tIm);
            for (var k = 0; k < _re.Length; k++)
            {
                _re[k] += (double)sRe[k] * tRe[k] + (double)sIm[k] * tIm[k];
                _im[k] += (double)sRe[k] * tIm[k] - (double)sIm[k] * tRe[k];
            }
        }

        public ChannelFit? Fit(RealTransform transform, int lags)
        {
            if (_sourcePower <= 0 || _takePower <= 0)
                return null;
            var correlation = new float[transform.Length];
            transform.Inverse([.. _re.Select(v => (float)v)], [.. _im.Select(v => (float)v)], correlation);
            var best = 0;
            for (var lag = -lags; lag <= lags; lag++)
                if (Math.Abs(correlation[Wrap(lag)]) > Math.Abs(correlation[Wrap(best)]))
                    best = lag;
            var sign = Math.Sign(correlation[Wrap(best)]);
            var delay = Greatest(best - 1, best + 1, d => sign * At(d, transform.Length));
            var product = At(delay, transform.Length);
            var share = product * product / (_sourcePower * _takePower);
            if (share < LeastCorrelation * LeastCorrelation)
                return null;
            return new ChannelFit(product / _sourcePower, delay, Conversions.PowerToDb(share / Math.Max(1e-12, 1 - share)));

            int Wrap(int lag) => (lag + transform.Length) % transform.Length;
        }

        /// <summary>Σ source[n]·take[n + delay], between frames too: the inverse transform at one time.</summary>
        private double At(double delayFrames, int length)
        {
            var sum = 0.0;
            var step = 2 * Math.PI * delayFrames / length;
            for (var k = 0; k < _re.Length; k++)
            {
                var (sin, cos) = Math.SinCos(step * k);
                var twice = k == 0 || k == _re.Length - 1 ? 1 : 2;
                sum += twice * (_re[k] * cos - _im[k] * sin);
            }
            return sum / length;
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
}
