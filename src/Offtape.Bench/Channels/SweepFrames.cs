using System.Numerics;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>One short window of a sweep, in all channels of the capture: what each has of it, and how they stand to each other.</summary>
/// <param name="FrequencyHz">Where the sweep stands in the window's middle.</param>
/// <param name="SendSeconds">When that is.</param>
/// <param name="Power">Of each channel, in the bins that the sweep passes in the window.</param>
/// <param name="Noise">Of each channel's silence in a bin, the mean over those bins; not a number where no silence was heard.</param>
/// <param name="CentroidHz">Of each channel, the middle of its power over those bins, in the capture's own frequency.</param>
/// <param name="BinCount">How many bins these are.</param>
/// <param name="Cross">By first channel and second: Σ second·first*, over the same bins.</param>
internal sealed record SweepFrame(
    double FrequencyHz,
    double SendSeconds,
    double[] Power,
    double[] Noise,
    double[] CentroidHz,
    int BinCount,
    Complex[,] Cross
)
{
    // Bins of a Hann window share their noise: the variance of a sum of products is that of independent bins times N·Σw⁴ ÷ (Σw²)².
    private const double SharedNoise = 35.0 / 18;

    // Windows that overlap by half share a little of it, too: 2·Σ w²(n)·w²(n + N/2) ÷ Σw⁴ more.
    internal const double SharedByNeighbours = 1 + 2.0 * 3 / 70;

    /// <summary>One channel's sound as a multiple of another's.</summary>
    internal Complex Ratio(int of, int against) => Cross[against, of] / Power[against];

    /// <summary>Variance of <see cref="Ratio"/> by the noise of the first channel alone: the mean of |error|².</summary>
    internal double RatioVariance(int of, int against) => SharedNoise * Noise[of] / Power[against];

    /// <summary>
    /// Variance of the phase between two channels that carry the sweep both, in square radians: by their silence, or where none was heard by what
    /// they do not have in common.
    /// </summary>
    internal double PhaseVariance(int a, int b)
    {
        var noise = Noise[a] / Power[a] + Noise[b] / Power[b];
        if (!double.IsNaN(noise))
            return SharedNoise * noise / 2;
        var common = Math.Pow(Cross[a, b].Magnitude, 2) / (Power[a] * Power[b]);
        return SharedNoise * (1 - common) / (2 * common * BinCount);
    }
}

/// <summary>
/// Cuts a sweep into windows. Each channel is compared with another as both came back: whatever the tape did to time, it did to all of them, and
/// neither the send nor its place need be known better than a window is long.
/// </summary>
internal static class SweepFrames
{
    // The next power of two is taken: 85 ms at 48 kHz.
    private const double ShortestWindowSeconds = 0.06;

    // A response bends by less than 1 dB over so many windows, half an octave, but at its ends.
    private const int NeighbourCount = 4;
    private const double DropoutShare = 0.88;

    // The sweep is well within these bins beyond what it passes in the window.
    private const double SpareBins = 2.5;

    internal static IReadOnlyList<SweepFrame> Of(BenchCapture capture, BenchPart part, double fromHz, double toHz)
    {
        var sweep = PartSound.SweepOf(part);
        var length = LengthFrames(capture.SampleRateHz);
        var binHz = capture.SampleRateHz / (double)length;
        var noise = NoiseOf(capture, length);
        var transform = new RealTransform(length);
        var window = new float[length];
        Windows.Hann(window, WindowForm.Periodic);
        var (re, im) = (Buffers(capture, transform), Buffers(capture, transform));
        var windowed = new float[length];
        var first = (int)Math.Max(0, capture.Clock.CaptureAt(part.StartSeconds) * capture.SampleRateHz);
        var last = (int)
            Math.Min(capture.FrameCount, capture.Clock.CaptureAt(part.StartSeconds + part.LengthSeconds) * capture.SampleRateHz);
        var frames = new List<SweepFrame>();
        for (var start = first; start + length <= last; start += length / 2)
        {
            var middle = SendAt(start + length / 2) - part.StartSeconds;
            var hz = sweep.FrequencyHz(middle);
            if (hz < fromHz || hz > toHz)
                continue;
            // In the capture's frequencies.
            var ratio = (SendAt(start + length) - SendAt(start)) * capture.SampleRateHz / length;
            var low = sweep.FrequencyHz(SendAt(start) - part.StartSeconds) * ratio / binHz - SpareBins;
            var high = sweep.FrequencyHz(SendAt(start + length) - part.StartSeconds) * ratio / binHz + SpareBins;
            var (k0, k1) = ((int)Math.Clamp(low, 1, length / 2 - 1), (int)Math.Clamp(Math.Ceiling(high), 1, length / 2 - 1));
            for (var channel = 0; channel < capture.ChannelCount; channel++)
            {
                var sound = capture.Channel(channel).Slice(start, length);
                for (var i = 0; i < length; i++)
                    windowed[i] = sound[i] * window[i];
                transform.Forward(windowed, re[channel], im[channel]);
            }
            frames.Add(Frame(hz, part.StartSeconds + middle, re, im, noise, k0, k1, binHz));
        }
        return frames;

        double SendAt(int frame) => capture.Clock.SourceAt(frame / (double)capture.SampleRateHz);
    }

    /// <summary>Without the windows in which the channel that carries the sweep falls out: its power is far under that of its neighbours.</summary>
    internal static IReadOnlyList<SweepFrame> WithoutDropouts(IReadOnlyList<SweepFrame> frames, int channel)
    {
        var whole = new List<SweepFrame>();
        var near = new List<double>();
        for (var i = 0; i < frames.Count; i++)
        {
            near.Clear();
            for (var k = Math.Max(0, i - NeighbourCount); k <= Math.Min(frames.Count - 1, i + NeighbourCount); k++)
                near.Add(frames[k].Power[channel]);
            if (frames[i].Power[channel] > DropoutShare * HeardTone.Median(near.ToArray()))
                whole.Add(frames[i]);
        }
        return whole;
    }

    /// <summary>From one window to the next.</summary>
    internal static int HopFrames(int sampleRateHz) => LengthFrames(sampleRateHz) / 2;

    private static int LengthFrames(int sampleRateHz) => TransformLength.AtLeast((int)(ShortestWindowSeconds * sampleRateHz));

    private static SweepFrame Frame(double hz, double seconds, float[][] re, float[][] im, double[][] noise, int k0, int k1, double binHz)
    {
        var count = re.Length;
        var (power, floor, centroid, cross) = (new double[count], new double[count], new double[count], new Complex[count, count]);
        for (var a = 0; a < count; a++)
        {
            for (var b = a; b < count; b++)
            {
                var (real, imaginary) = (0.0, 0.0);
                for (var k = k0; k <= k1; k++)
                {
                    real += (double)re[b][k] * re[a][k] + (double)im[b][k] * im[a][k];
                    imaginary += (double)im[b][k] * re[a][k] - (double)re[b][k] * im[a][k];
                }
                cross[a, b] = new Complex(real, imaginary);
                cross[b, a] = Complex.Conjugate(cross[a, b]);
            }
            power[a] = cross[a, a].Real;
            for (var k = k0; k <= k1; k++)
            {
                floor[a] += noise[a].Length == 0 ? double.NaN : noise[a][k] / (k1 - k0 + 1);
                centroid[a] += k * binHz * ((double)re[a][k] * re[a][k] + (double)im[a][k] * im[a][k]) / power[a];
            }
        }
        return new SweepFrame(hz, seconds, power, floor, centroid, k1 - k0 + 1, cross);
    }

    /// <summary>|X|² of silence under the same window, bin by bin; none where no silence was heard.</summary>
    private static double[][] NoiseOf(BenchCapture capture, int length)
    {
        var noise = new double[capture.ChannelCount][];
        var silence = QuietStretches.Recorded(capture);
        for (var channel = 0; channel < noise.Length; channel++)
        {
            // From a mean square in each bin back to the square of the transform: N²·Σw²/N ÷ 2.
            noise[channel] = silence is null
                ? []
                :
                [
                    .. SegmentSpectra
                        .Of(silence.Of(capture, channel), capture.SampleRateHz, length)
                        .Mean()
                        .Select(p => p * 0.375 * length * length / 2),
                ];
        }
        return noise;
    }

    private static float[][] Buffers(BenchCapture capture, RealTransform transform) =>
        [.. Enumerable.Range(0, capture.ChannelCount).Select(_ => new float[transform.BinCount])];
}
