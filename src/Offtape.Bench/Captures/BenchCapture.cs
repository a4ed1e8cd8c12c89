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

    /// <summary>Every other part of the sheet, with the reason; empty where the capture was put together by hand.</summary>
    public IReadOnlyList<MissingPart> Missing { get; init; } = [];

    /// <summary>Names of the parts in which the converter clipped: they are among <see cref="Heard"/>, and fit for time but not for level.</summary>
    public IReadOnlySet<string> Clipped { get; init; } = new HashSet<string>();

    /// <summary>Where the first frame kept here stands in its file, in seconds of the file.</summary>
    public double StartInFileSeconds { get; init; }

    /// <summary>The file, as it was named; empty where there is none.</summary>
    public string File { get; init; } = "";

    public int ChannelCount => _channels.Length;

    public int FrameCount => _channels[0].Length;

    public IEnumerable<BenchPart> Of(BenchPartKind kind) => Heard.Where(p => p.Kind == kind);

    /// <summary>A part that was heard; null where it was not, for which <see cref="WhyNot"/> has the reason.</summary>
    public BenchPart? Find(string name) => Heard.FirstOrDefault(p => p.Name == name);

    /// <summary>Why a part is not there, as a whole sentence for <see cref="Reading.Reason"/>.</summary>
    public string WhyNot(string name) =>
        Missing.FirstOrDefault(m => m.Name == name) is { } missing ? $"{name} was not heard: {missing.Reason}"
        : Sheet.Parts.Any(p => p.Name == name) ? $"{name} was not heard"
        : $"{name} is not among the parts of this check signal";

    /// <summary>The same capture with only some parts taken for heard.</summary>
    /// <param name="words">Names or kinds; empty for all.</param>
    /// <param name="reason">Why the others are missing.</param>
    internal BenchCapture Only(IReadOnlyList<string> words, string reason) =>
        words.Count == 0
            ? this
            : new BenchCapture(_channels, SampleRateHz, How, Sheet, Clock, [.. Heard.Where(p => BenchPartNames.IsAsked(p, words))])
            {
                Missing =
                [
                    .. Missing.Where(m => Sheet.Parts.Any(p => p.Name == m.Name && BenchPartNames.IsAsked(p, words))),
                    .. Sheet.Parts.Where(p => !BenchPartNames.IsAsked(p, words)).Select(p => new MissingPart(p.Name, reason)),
                ],
                Clipped = Clipped,
                StartInFileSeconds = StartInFileSeconds,
                File = File,
            };

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
