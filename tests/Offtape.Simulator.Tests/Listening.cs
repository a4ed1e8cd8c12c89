using Offtape.Signal;

namespace Offtape.Simulator.Tests;

/// <summary>Ways of measuring a return that know nothing of how it was made: sums against sines, and Welch spectra.</summary>
internal static class Listening
{
    internal const int Rate = 48_000;

    internal static float[] Sine(double frequencyHz, double peakDbfs, double seconds, int rate = Rate)
    {
        var (samples, peak) = (new float[(int)(seconds * rate)], Math.Pow(10, peakDbfs / 20));
        for (var i = 0; i < samples.Length; i++)
            samples[i] = (float)(peak * Math.Sin(2 * Math.PI * frequencyHz * i / rate));
        return samples;
    }

    /// <summary>Complex amplitude of a tone over a stretch, Hann-weighted: peak value and phase at the stretch's first frame.</summary>
    internal static (double Peak, double Phase) Tone(ReadOnlySpan<float> samples, double frequencyHz, int rate = Rate)
    {
        var (re, im, weight) = (0.0, 0.0, 0.0);
        for (var i = 0; i < samples.Length; i++)
        {
            var window = 0.5 - 0.5 * Math.Cos(2 * Math.PI * (i + 0.5) / samples.Length);
            var (sine, cosine) = Math.SinCos(2 * Math.PI * frequencyHz * i / rate);
            re += window * samples[i] * cosine;
            im -= window * samples[i] * sine;
            weight += window;
        }
        return (2 * double.Hypot(re, im) / weight, Math.Atan2(im, re));
    }

    internal static double ToneDb(ReadOnlySpan<float> samples, double frequencyHz, int rate = Rate) =>
        20 * Math.Log10(Tone(samples, frequencyHz, rate).Peak);

    internal static double Rms(ReadOnlySpan<float> samples)
    {
        var sum = 0.0;
        foreach (var sample in samples)
            sum += (double)sample * sample;
        return Math.Sqrt(sum / samples.Length);
    }

    /// <summary>RMS of what lies between two frequencies, by averaged spectra of 8192 frames.</summary>
    internal static double BandRms(ReadOnlySpan<float> samples, double lowHz, double highHz, int rate = Rate)
    {
        const int length = 8192;
        var transform = new RealTransform(length);
        var (re, im, block) = (new float[transform.BinCount], new float[transform.BinCount], new float[length]);
        var (power, blocks) = (0.0, 0);
        for (var from = 0; from + length <= samples.Length; from += length / 2, blocks++)
        {
            for (var i = 0; i < length; i++)
                block[i] = (float)(samples[from + i] * (0.5 - 0.5 * Math.Cos(2 * Math.PI * i / length)));
            transform.Forward(block, re, im);
            for (var k = 1; k < transform.BinCount - 1; k++)
            {
                var frequency = (double)k * rate / length;
                if (frequency >= lowHz && frequency <= highHz)
                    power += (double)re[k] * re[k] + (double)im[k] * im[k];
            }
        }
        // Parseval with two-sided doubling, and the Hann window's mean square of 3/8.
        return Math.Sqrt(2 * power / blocks / ((double)length * length) / 0.375);
    }

    /// <summary>
    /// The send time heard at every <paramref name="step"/>th frame of a returned tone, from its phase: demodulated to zero, low-passed by a
    /// Gaussian of 0.38 cycles (at 3150 Hz 0.12 ms: 0.1 % off flutter of 60 Hz, and 1e-5 of the doubled frequency left), unwrapped. The constant is left free: a tone cannot tell one cycle from
    /// the next.
    /// </summary>
    internal static double[] ToneTime(ReadOnlySpan<float> samples, double frequencyHz, int step, int rate = Rate)
    {
        var sigma = 0.38 / frequencyHz * rate;
        var reach = (int)(6 * sigma);
        var time = new double[(samples.Length - 1) / step + 1];
        var (before, turns) = (0.0, 0.0);
        for (var n = 0; n < time.Length; n++)
        {
            var i = n * step;
            var (re, im) = (0.0, 0.0);
            for (var j = Math.Max(-reach, -i); j <= Math.Min(reach, samples.Length - 1 - i); j++)
            {
                var weight = samples[i + j] * Math.Exp(-0.5 * (j / sigma) * (j / sigma));
                var (sine, cosine) = Math.SinCos(2 * Math.PI * frequencyHz * (i + j) / rate);
                (re, im) = (re + weight * cosine, im - weight * sine);
            }
            var phase = Math.Atan2(im, re);
            turns += Unwrap(before, phase);
            before = phase;
            time[n] = (double)i / rate + (phase / (2 * Math.PI) + turns) / frequencyHz;
        }
        return time;
    }

    private static double Unwrap(double before, double now) =>
        now - before > Math.PI ? -1
        : now - before < -Math.PI ? 1
        : 0;
}
