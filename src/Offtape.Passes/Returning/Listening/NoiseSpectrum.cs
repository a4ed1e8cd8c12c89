using Offtape.Signal;

namespace Offtape.Passes.Listening;

/// <summary>What a capture sounds like where nothing plays: mean power of its quietest windows, by frequency.</summary>
internal sealed class NoiseSpectrum
{
    internal const int WindowFrames = 640;
    internal const int TransformLength = 1024;

    // Quietest share of the windows, and never fewer than this many: enough to average, few enough to stay between the sounds.
    private const double QuietShare = 0.03;
    private const int FewestWindows = 8;
    private const int MostWindows = 4000;

    // A gate or a leader that was never recorded says nothing about the machine.
    private const double DigitalSilencePower = 1e-13;

    private NoiseSpectrum(float[] power, double rateHz) => (Power, RateHz) = (power, rateHz);

    /// <summary>Mean |X|² of a Hann window of <see cref="WindowFrames"/> frames in a transform of <see cref="TransformLength"/>, per bin.</summary>
    internal float[] Power { get; }

    internal double RateHz { get; }

    /// <summary>RMS level between two frequencies, dBFS (amplitude 1 = 0 dB).</summary>
    internal double LevelDbfs(double lowHz, double highHz)
    {
        double sum = 0;
        for (var k = 0; k < Power.Length; k++)
        {
            var hertz = k * RateHz / TransformLength;
            if (hertz >= lowHz && hertz < highHz)
                sum += Power[k];
        }
        // Parseval: both sides of the spectrum, over the transform's length and the window's energy.
        return 10 * Math.Log10(2 * sum / TransformLength / (WindowFrames * 0.375) + 1e-20);
    }

    internal static NoiseSpectrum Of(WorkingSignal signal, CancellationToken cancellation)
    {
        var hop = Math.Max(WindowFrames / 2, signal.FrameCount / MostWindows);
        var transform = new RealTransform(TransformLength);
        var window = new float[WindowFrames];
        Windows.Hann(window, WindowForm.Symmetric);
        var padded = new float[TransformLength];
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        var lowBin = (int)(100 * TransformLength / signal.WorkingRateHz);
        var powers = new List<(double Total, float[] Power)>();
        for (long start = 0; start + WindowFrames <= signal.FrameCount; start += hop)
        {
            cancellation.ThrowIfCancellationRequested();
            signal.Read(start, padded.AsSpan(0, WindowFrames));
            for (var i = 0; i < WindowFrames; i++)
                padded[i] *= window[i];
            transform.Forward(padded, re, im);
            var power = new float[re.Length];
            double total = 0;
            for (var k = 0; k < power.Length; k++)
            {
                power[k] = re[k] * re[k] + im[k] * im[k];
                total += k >= lowBin ? power[k] : 0;
            }
            if (total / WindowFrames / TransformLength > DigitalSilencePower)
                powers.Add((total, power));
        }
        powers.Sort((a, b) => a.Total.CompareTo(b.Total));
        var count = Math.Min(powers.Count, Math.Max(FewestWindows, (int)(powers.Count * QuietShare)));
        var mean = new float[transform.BinCount];
        for (var i = 0; i < count; i++)
        {
            for (var k = 0; k < mean.Length; k++)
                mean[k] += powers[i].Power[k] / count;
        }
        return new NoiseSpectrum(mean, signal.WorkingRateHz);
    }
}
