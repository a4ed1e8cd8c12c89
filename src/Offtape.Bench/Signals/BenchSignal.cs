using Offtape.Base;
using Offtape.Passes;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>The audio of a check signal, from its sheet, block by block. Memory follows the block, not the length.</summary>
public sealed class BenchSignal
{
    private readonly BenchSheet _sheet;
    private readonly (long StartFrame, float[] Audio, IReadOnlyList<int> Channels)[] _slates;
    private float[] _mono = [];

    public BenchSignal(BenchSheet sheet)
    {
        _sheet = sheet;
        FrameCount = Conversions.SecondsToFrames(sheet.LengthSeconds, sheet.SampleRateHz);
        var passNumber = Slate.ShortPassNumber(sheet.SheetId);
        var gain = (float)Conversions.DbToAmplitude(sheet.OperatingLevelDbfs + BenchSheetMaker.SlateLevelDb);
        _slates = [.. sheet.Slates.Select(s => (FirstFrame(s.StartSeconds), Audio(s, passNumber, gain), s.Tracks))];
    }

    public long FrameCount { get; }

    /// <summary>Fills a block, from any frame on; silence outside the signal.</summary>
    /// <param name="firstFrame">Of the block.</param>
    /// <param name="interleaved">Overwritten: whole frames of all channels of the sheet.</param>
    public void Render(long firstFrame, Span<float> interleaved)
    {
        interleaved.Clear();
        var channelCount = _sheet.ChannelCount;
        var frameCount = interleaved.Length / channelCount;
        if (_mono.Length < frameCount)
            _mono = new float[frameCount];
        foreach (var part in _sheet.Parts)
        {
            var start = FirstFrame(part.StartSeconds);
            var endExcl = start + Conversions.SecondsToFramesCeiling(part.LengthSeconds, _sheet.SampleRateHz);
            if (endExcl <= firstFrame || start >= firstFrame + frameCount || part.Kind == BenchPartKind.Silence)
                continue;
            var mono = _mono.AsSpan(0, frameCount);
            mono.Clear();
            PartSound.Add(part, _sheet.OperatingLevelDbfs, firstFrame - start, _sheet.SampleRateHz, mono);
            foreach (var channel in part.Channels)
                Mix(mono, interleaved[(channel - 1)..], channelCount);
        }
        foreach (var (start, audio, channels) in _slates)
        {
            var from = (int)Math.Clamp(start - firstFrame, 0, frameCount);
            var to = (int)Math.Clamp(start + audio.Length - firstFrame, 0, frameCount);
            if (to <= from)
                continue;
            foreach (var channel in channels)
                Mix(
                    audio.AsSpan((int)(firstFrame + from - start), to - from),
                    interleaved[(from * channelCount + channel - 1)..],
                    channelCount
                );
        }
    }

    /// <summary>All of it in memory, one array a channel.</summary>
    public static float[][] Render(BenchSheet sheet)
    {
        const int blockFrames = 1 << 15;
        var signal = new BenchSignal(sheet);
        var channels = new float[sheet.ChannelCount][];
        for (var c = 0; c < channels.Length; c++)
            channels[c] = new float[signal.FrameCount];
        var block = new float[blockFrames * channels.Length];
        for (long first = 0; first < signal.FrameCount; first += blockFrames)
        {
            var count = (int)Math.Min(blockFrames, signal.FrameCount - first);
            signal.Render(first, block.AsSpan(0, count * channels.Length));
            for (var i = 0; i < count; i++)
            {
                for (var c = 0; c < channels.Length; c++)
                    channels[c][first + i] = block[i * channels.Length + c];
            }
        }
        return channels;
    }

    private long FirstFrame(double seconds) => Conversions.SecondsToFrames(seconds, _sheet.SampleRateHz);

    private float[] Audio(SheetSlate slate, int passNumber, float gain)
    {
        var number = slate.Number % (slate.Kind == SlateKind.Gap ? 32 : 16);
        var audio = Slate.Synthesise(new SlateCode(slate.Kind, number, passNumber), _sheet.SampleRateHz);
        foreach (ref var value in audio.AsSpan())
            value *= gain;
        return audio;
    }

    private static void Mix(ReadOnlySpan<float> mono, Span<float> interleaved, int channelCount)
    {
        for (int i = 0, j = 0; i < mono.Length; i++, j += channelCount)
            interleaved[j] += mono[i];
    }
}
