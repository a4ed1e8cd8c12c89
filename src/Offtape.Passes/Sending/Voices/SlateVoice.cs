using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Passes;

/// <summary>A slate in a send, the same on each of its tracks.</summary>
internal sealed class SlateVoice(SlateCode code, Stretch stretch, int[] tracks, int sampleRateHz) : ISendVoice
{
    private static readonly float Gain = (float)Conversions.DbToAmplitude(SendTiming.SlateLevelDbfs);
    private float[]? _audio;

    public Stretch Sounding => stretch;

    public void MixInto(long firstFrame, Span<float> interleaved, int channelCount)
    {
        _audio ??= Slate.Synthesise(code, sampleRateHz);
        var first = (int)(firstFrame - stretch.StartFrame);
        var count = Math.Min(interleaved.Length / channelCount, _audio.Length - first);
        for (var i = 0; i < count; i++)
            foreach (var track in tracks)
                interleaved[i * channelCount + track - 1] += _audio[first + i] * Gain;
    }

    public void Dispose() => _audio = null;
}
