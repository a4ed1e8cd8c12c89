using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Finding;

/// <summary>
/// A sound as a picture for coarse search: level in decibels over time (20 ms) and log frequency (a tenth of an octave), floored where
/// only hiss or silence is left. Small enough that an hour fits into a few megabytes, coarse enough that a per cent of speed does not
/// matter.
/// </summary>
internal sealed class SoundPicture
{
    internal const double StepSeconds = 0.02;
    internal const int BandCount = 60;

    private const double LowHz = 100;
    private const int TransformLength = 1024;

    // A source is clean to its last bit; what lies further below its peak will drown in any tape's hiss.
    private const float DynamicRangeDb = 42;

    private SoundPicture(float[] decibels) => Decibels = decibels;

    /// <summary>Frame after frame, <see cref="BandCount"/> bands each.</summary>
    internal float[] Decibels { get; }

    internal int FrameCount => Decibels.Length / BandCount;

    /// <summary>Draws the picture of one or several channels together (the sum of their powers).</summary>
    internal static SoundPicture Of(IReadOnlyList<WorkingSignal> channels, CancellationToken cancellation)
    {
        var frameCount = (int)(channels[0].FrameCount / (StepSeconds * WorkingSignal.UsualRateHz)) + 1;
        var power = Powers(channels, 0, frameCount, 1, cancellation);
        return new SoundPicture(ToDecibels(power, frameCount, hasHiss: true));
    }

    /// <summary>Draws a stretch of a source as it looks at another speed.</summary>
    internal static PicturePatch Patch(
        int sourceIndex,
        IReadOnlyList<WorkingSignal> channels,
        double startSeconds,
        double lengthSeconds,
        double speed
    )
    {
        var frameCount = Math.Clamp((int)Math.Round(lengthSeconds / speed / StepSeconds), 4, PictureSearch.LongestPatchFrames);
        var power = Powers(channels, startSeconds, frameCount, speed, default);
        return new PicturePatch(sourceIndex, startSeconds, speed, ToDecibels(power, frameCount, hasHiss: false));
    }

    private static float[] Powers(
        IReadOnlyList<WorkingSignal> channels,
        double startSeconds,
        int frameCount,
        double speed,
        CancellationToken cancellation
    )
    {
        var rate = channels[0].WorkingRateHz;
        var power = new float[frameCount * BandCount];
        var transform = new RealTransform(TransformLength);
        var window = new float[TransformLength];
        Windows.Hann(window, WindowForm.Symmetric);
        // What sounds at a frequency in the source is heard at that frequency times the speed.
        var edges = new double[BandCount + 1];
        for (var b = 0; b <= BandCount; b++)
            edges[b] = LowHz * Math.Pow(2, b / 10.0) / speed * TransformLength / rate;
        var block = new float[TransformLength];
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        foreach (var channel in channels)
        {
            for (var frame = 0; frame < frameCount; frame++)
            {
                if ((frame & 0x3FF) == 0)
                    cancellation.ThrowIfCancellationRequested();
                var centre = (startSeconds + frame * StepSeconds * speed) * rate;
                channel.Read((long)Math.Round(centre) - TransformLength / 2, block);
                for (var i = 0; i < block.Length; i++)
                    block[i] *= window[i];
                transform.Forward(block, re, im);
                AddBands(re, im, edges, power.AsSpan(frame * BandCount, BandCount));
            }
        }
        return power;
    }

    private static void AddBands(float[] re, float[] im, double[] edges, Span<float> bands)
    {
        for (var b = 0; b < BandCount; b++)
        {
            // Narrow bands at the bottom take the share of the bin they lie in.
            var (low, high) = (edges[b], edges[b + 1]);
            var (first, last) = ((int)Math.Floor(low + 0.5), (int)Math.Floor(high + 0.5));
            if (first >= re.Length)
                return;
            if (first == last)
            {
                bands[b] += (float)(high - low) * (re[first] * re[first] + im[first] * im[first]);
                continue;
            }
            for (var k = first; k <= Math.Min(last, re.Length - 1); k++)
            {
                var share = Math.Min(high, k + 0.5) - Math.Max(low, k - 0.5);
                if (share > 0)
                    bands[b] += (float)share * (re[k] * re[k] + im[k] * im[k]);
            }
        }
    }

    private static float[] ToDecibels(float[] power, int frameCount, bool hasHiss)
    {
        var loudest = 0f;
        foreach (var value in power)
            loudest = Math.Max(loudest, value);
        var decibels = new float[power.Length];
        var sorted = new float[frameCount];
        for (var b = 0; b < BandCount; b++)
        {
            for (var f = 0; f < frameCount; f++)
                sorted[f] = power[f * BandCount + b];
            Array.Sort(sorted);
            // The fifth quietest per cent is the hiss of this band, if the band ever gets well above it; else it is never quiet, or never more.
            var hiss = 4 * sorted[frameCount / 20];
            var isHiss = hasHiss && frameCount >= 100 && sorted[frameCount * 19 / 20] > 4 * hiss;
            var floor = Math.Max(loudest * MathF.Pow(10, -DynamicRangeDb / 10), isHiss ? hiss : 0) + 1e-20f;
            for (var f = 0; f < frameCount; f++)
                decibels[f * BandCount + b] = 10 * MathF.Log10(Math.Max(power[f * BandCount + b], floor) / floor);
        }
        return decibels;
    }
}
