using Offtape.AudioFiles;
using Offtape.Signal;

namespace Offtape.Passes.Writing;

/// <summary>Where reading leaps over a stop of the tape, fades from the one side to the other, so that nothing clicks.</summary>
internal sealed class LeapFader(TakeTime time, IAudioReader reader, int rateHz)
{
    private const double FadeSeconds = 0.004;

    private readonly double[] _leaps = [.. time.LeapSeconds];

    /// <summary>Mixes the other side of each leap into a block of one voice.</summary>
    /// <param name="mono">The block, rendered on its own side of every leap.</param>
    /// <param name="firstFrame">Take frame of mono[0], from the source's beginning.</param>
    /// <param name="channel">Of the capture.</param>
    /// <param name="delayFrames">How much later the voice is read.</param>
    internal void Fade(Span<float> mono, long firstFrame, int channel, double delayFrames)
    {
        foreach (var leap in _leaps)
        {
            var from = (int)Math.Clamp(Math.Ceiling((leap - FadeSeconds) * rateHz) - firstFrame, 0, mono.Length);
            var to = (int)Math.Clamp(Math.Floor((leap + FadeSeconds) * rateHz) - firstFrame, 0, mono.Length);
            if (to > from)
                Mix(mono[from..to], firstFrame + from, leap, channel, delayFrames);
        }
    }

    private void Mix(Span<float> mono, long firstFrame, double leap, int channel, double delayFrames)
    {
        var captureRate = reader.Format.SampleRateHz;
        var positions = new double[mono.Length];
        for (var i = 0; i < positions.Length; i++)
        {
            var seconds = (double)(firstFrame + i) / rateHz;
            positions[i] = time.CaptureAt(seconds, 2 * leap - seconds) * captureRate + delayFrames;
        }
        var step = Math.Abs(positions[^1] - positions[0]) / Math.Max(1, positions.Length - 1);
        var bandwidth = Retimer.BandwidthForStep(Math.Clamp(step, 1e-3, TakeWriter.SteepestStepFrames));
        var margin = Retimer.HalfWidthFramesForBandwidth(bandwidth) + 2;
        var from = (long)Math.Floor(Math.Min(positions[0], positions[^1])) - margin;
        var span = (int)(Math.Ceiling(Math.Max(positions[0], positions[^1])) - from) + margin + 1;
        var channelCount = reader.Format.ChannelCount;
        var (interleaved, input, other) = (new float[span * channelCount], new float[span], new float[mono.Length]);
        var skip = (int)Math.Clamp(-from, 0, span);
        if (skip < span && from + skip < reader.FrameCount)
            reader.Read(from + skip, interleaved.AsSpan(skip * channelCount));
        for (int i = 0, j = channel; i < span; i++, j += channelCount)
            input[i] = interleaved[j];
        Retimer.Render(input, from, positions, bandwidth, other);
        for (var i = 0; i < mono.Length; i++)
        {
            var away = Math.Abs((double)(firstFrame + i) / rateHz - leap) / FadeSeconds;
            var share = (float)(0.5 - 0.5 * Math.Min(1, away));
            mono[i] += share * (other[i] - mono[i]);
        }
    }
}
