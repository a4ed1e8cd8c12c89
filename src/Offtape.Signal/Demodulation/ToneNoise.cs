namespace Offtape.Signal;

/// <summary>
/// How much noise adds itself to a tone. Added noise moves phase and level alike (S. O. Rice, "Mathematical Analysis of Random Noise", Bell
/// System Technical Journal, 1944-45), while the tape's flutter moves the phase alone and its unevenness the level alone: of the two, in
/// the band above the flutter that is read, the smaller is noise.
/// </summary>
internal static class ToneNoise
{
    private const int SegmentLength = 2048;

    private const int GroupCount = 4;

    /// <param name="steps">Steps of phase as frequency against the tone, in hertz.</param>
    /// <param name="level">Level in nepers, as many.</param>
    /// <param name="isGap">Segments with a gap are passed over while there are others.</param>
    /// <param name="band">What both were heard with.</param>
    internal static double Density(double[] steps, double[] level, bool[] isGap, ToneBand band)
    {
        var (from, to) = (Math.Min(1.3 * band.BandHz, 0.7 * band.PassHz), 0.95 * band.PassHz);
        var length = Math.Min(SegmentLength, TransformLength.AtLeast(steps.Length + 1) / 2);
        if (length < 64)
            return double.NaN;
        var phase = new double[length / 2 + 1];
        var loud = new double[length / 2 + 1];
        var meter = new Welch(length);
        if (meter.Add(steps, isGap, phase) == 0)
            meter.Add(steps, new bool[isGap.Length], phase);
        if (meter.Add(level, isGap, loud) == 0)
            meter.Add(level, new bool[isGap.Length], loud);
        var sum = 0.0;
        for (var group = 0; group < GroupCount; group++)
        {
            var (low, high) = (from + (to - from) * group / GroupCount, from + (to - from) * (group + 1) / GroupCount);
            var (a, b, count) = (0.0, 0.0, 0);
            for (var k = (int)Math.Ceiling(low * length / band.RateHz); k < high * length / band.RateHz; k++)
            {
                var hz = k * band.RateHz / length;
                // A step of phase loses sin(x)/x against the derivative.
                var x = Math.PI * hz / band.RateHz;
                a += phase[k] / (hz * hz) * Math.Pow(x / Math.Sin(x), 2);
                // Levels are means of two neighbours.
                b += loud[k] / Math.Pow(Math.Cos(x), 2);
                count++;
            }
            sum += Math.Min(a, b) / Math.Max(1, count);
        }
        return sum / GroupCount * 2 / band.RateHz;
    }

    /// <summary>Mean power of Hann segments, half overlapped (P. D. Welch, IEEE Trans. Audio Electroacoust., 1967); variance per value is 1.</summary>
    private sealed class Welch(int length)
    {
        private readonly RealTransform _transform = new(length);
        private readonly float[] _frame = new float[length];
        private readonly float[] _re = new float[length / 2 + 1];
        private readonly float[] _im = new float[length / 2 + 1];

        internal int Add(double[] values, bool[] isGap, double[] power)
        {
            var window = new double[length];
            Windows.Hann(window, WindowForm.Periodic);
            var count = 0;
            Array.Clear(power);
            for (var from = 0; from + length <= values.Length; from += length / 2)
            {
                if (isGap.AsSpan(from, length).Contains(true))
                    continue;
                var mean = 0.0;
                foreach (var value in values.AsSpan(from, length))
                    mean += value / length;
                for (var i = 0; i < length; i++)
                    _frame[i] = (float)((values[from + i] - mean) * window[i]);
                _transform.Forward(_frame, _re, _im);
                for (var k = 0; k < power.Length; k++)
                    power[k] += (double)_re[k] * _re[k] + (double)_im[k] * _im[k];
                count++;
            }
            // Σ of the window's squares: 3/8 of its length.
            for (var k = 0; k < power.Length; k++)
                power[k] /= Math.Max(1, count) * 0.375 * length;
            return count;
        }
    }
}
