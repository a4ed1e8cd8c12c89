using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>A capture of a check signal, found and ready to be read. Readers of parts take this and the facts, and give findings.</summary>
public sealed class BenchCapture
{
    private readonly float[][] _channels;

    /// <param name="channels">One array a channel, all of one length; full scale is 1. Not to be written to afterwards.</param>
    /// <param name="sampleRateHz">Rate of the capture.</param>
    /// <param name="how">How it was taken.</param>
    /// <param name="sheet">What stands on the tape.</param>
    /// <param name="clock">Seconds of the send to seconds of the capture, from the slates.</param>
    /// <param name="heard">The parts of the sheet that are wholly in the capture.</param>
    public BenchCapture(float[][] channels, int sampleRateHz, HowTaken how, BenchSheet sheet, TimeMap clock, IReadOnlyList<BenchPart> heard)
    {
        _channels = channels;
        (SampleRateHz, How, Sheet, Clock, Heard) = (sampleRateHz, how, sheet, clock, heard);
    }

    public int SampleRateHz { get; }

    public HowTaken How { get; }

    public BenchSheet Sheet { get; }

    /// <summary>Seconds of the send to seconds of the capture; as true as the slates and the tape's wobble between them, a few ms at worst.</summary>
    public TimeMap Clock { get; }

    /// <summary>The parts that are wholly in the capture.</summary>
    public IReadOnlyList<BenchPart> Heard { get; }

    public int ChannelCount => _channels.Length;

    public int FrameCount => _channels[0].Length;

    public IEnumerable<BenchPart> Of(BenchPartKind kind) => Heard.Where(p => p.Kind == kind);

    public ReadOnlySpan<float> Channel(int index) => _channels[index];

    /// <summary>
    /// A channel's frames while the given seconds of the send are heard; shorter where the capture begins or ends within them.
    /// </summary>
    public ReadOnlySpan<float> Stretch(int channelIndex, double fromSendSeconds, double toSendSeconds)
    {
        var a = Clock.CaptureAt(fromSendSeconds) * SampleRateHz;
        var b = Clock.CaptureAt(toSendSeconds) * SampleRateHz;
        var from = (int)Math.Clamp(Math.Round(Math.Min(a, b)), 0, FrameCount);
        var to = (int)Math.Clamp(Math.Round(Math.Max(a, b)), from, FrameCount);
        return _channels[channelIndex].AsSpan(from, to - from);
    }

    /// <summary>A whole part with a margin before and behind it.</summary>
    public ReadOnlySpan<float> Part(BenchPart part, int channelIndex, double marginSeconds = 0) =>
        Stretch(channelIndex, part.StartSeconds - marginSeconds, part.StartSeconds + part.LengthSeconds + marginSeconds);
}
