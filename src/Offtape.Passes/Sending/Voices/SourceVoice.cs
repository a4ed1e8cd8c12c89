using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Passes;

/// <summary>
/// A source in a send: read block by block, retimed where its rate or the printing ratio asks for it, backwards if wanted, times its
/// gain. At step 1 the retimer copies, so the samples are the file's own times the gain. A retimed source rings for a millisecond
/// before its start and after its end, as a band-limited signal does.
/// </summary>
internal sealed class SourceVoice : ISendVoice
{
    private readonly PlannedItem _item;
    private readonly VoiceScratch _scratch;
    private readonly double _firstPosition;
    private readonly double _step;
    private readonly int _halfWidth;
    private readonly double _gainLinear;
    private IAudioReader? _reader;

    internal SourceVoice(PlannedItem item, bool reversed, VoiceScratch scratch)
    {
        _item = item;
        _scratch = scratch;
        _firstPosition = reversed ? item.Source.FrameCount - 1 : 0;
        _step = reversed ? -item.StepFrames : item.StepFrames;
        // A copy needs no neighbours, and without them a file is read straight through: compressed ones do not like to be wound back.
        _halfWidth = item.StepFrames == 1 ? 0 : Retimer.HalfWidthFrames(_step);
        _gainLinear = Conversions.DbToAmplitude(item.GainDb);
        var ring = (long)Math.Ceiling(_halfWidth / item.StepFrames);
        var start = Math.Max(0, item.Stretch.StartFrame - ring);
        Sounding = new Stretch(start, item.Stretch.EndFrameExcl + ring - start);
    }

    public Stretch Sounding { get; }

    public void MixInto(long firstFrame, Span<float> interleaved, int channelCount)
    {
        var source = _item.Source;
        var frameCount = interleaved.Length / channelCount;
        var firstOutput = firstFrame - _item.Stretch.StartFrame;
        var a = _firstPosition + firstOutput * _step;
        var b = _firstPosition + (firstOutput + frameCount - 1) * _step;
        var from = Math.Max(0, (long)Math.Floor(Math.Min(a, b)) - _halfWidth);
        var to = Math.Min(source.FrameCount, (long)Math.Floor(Math.Max(a, b)) + _halfWidth + 1);
        if (to <= from)
            return;
        var input = _scratch.Interleaved((int)(to - from) * source.ChannelCount);
        Read(from, input);
        var planar = _scratch.Planar((int)(to - from));
        var rendered = _scratch.Rendered(frameCount);
        for (var channel = 0; channel < source.ChannelCount; channel++)
        {
            for (var i = 0; i < planar.Length; i++)
                planar[i] = input[i * source.ChannelCount + channel];
            Retimer.RenderFixed(planar, from, _firstPosition, _step, rendered, firstOutput);
            if (source.ChannelCount == 1)
                foreach (var track in _item.Tracks)
                    Add(rendered, track, interleaved, channelCount);
            else
                Add(rendered, _item.Tracks[channel], interleaved, channelCount);
        }
    }

    public void Dispose() => _reader?.Dispose();

    private void Add(ReadOnlySpan<float> mono, int track, Span<float> interleaved, int channelCount)
    {
        for (var i = 0; i < mono.Length; i++)
            interleaved[i * channelCount + track - 1] += (float)(mono[i] * _gainLinear);
    }

    private void Read(long firstFrame, Span<float> interleaved)
    {
        _reader ??= Open();
        var channels = _item.Source.ChannelCount;
        while (!interleaved.IsEmpty)
        {
            var read = _reader.Read(firstFrame, interleaved);
            if (read <= 0)
                throw Changed();
            interleaved = interleaved[(read * channels)..];
            firstFrame += read;
        }
    }

    private IAudioReader Open()
    {
        var reader = AudioFile.Open(_item.Source.Path);
        if (reader.Format.ChannelCount == _item.Source.ChannelCount && reader.Format.SampleRateHz == _item.Source.SampleRateHz)
            return reader;
        reader.Dispose();
        throw Changed();
    }

    private Fault Changed() =>
        Fault.Input(_item.Source.Path, "it changed while the send was made", null, "Make the send again when nothing writes to it.");
}
