using Offtape.Base;

namespace Offtape.Passes;

/// <summary>The line-up tone: a sine with raised-cosine fades.</summary>
internal sealed class ToneVoice(double frequencyHz, Stretch stretch, int[] tracks, int sampleRateHz) : ISendVoice
{
    private readonly double _peakLinear = Conversions.DbToAmplitude(SendTiming.OperatingLevelDbfs);
    private readonly Fade _fade = new(stretch.FrameCount, SendTiming.ToneFadeSeconds, sampleRateHz);

    public Stretch Sounding => stretch;

    public void MixInto(long firstFrame, Span<float> interleaved, int channelCount)
    {
        var first = firstFrame - stretch.StartFrame;
        for (var i = 0; i < interleaved.Length / channelCount; i++)
        {
            var value = (float)(_peakLinear * _fade.At(first + i) * Math.Sin(2 * Math.PI * frequencyHz * (first + i) / sampleRateHz));
            foreach (var track in tracks)
                interleaved[i * channelCount + track - 1] += value;
        }
    }

    public void Dispose() { }
}
