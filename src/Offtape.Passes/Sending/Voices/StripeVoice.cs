using Offtape.Tape;

namespace Offtape.Passes;

/// <summary>The sync signal in a send.</summary>
internal sealed class StripeVoice(Stripe stripe, Stretch stretch, int track, VoiceScratch scratch) : ISendVoice
{
    private readonly Fade _fade = new(stretch.FrameCount, SendTiming.StripeFadeSeconds, stripe.SampleRateHz);

    public Stretch Sounding => stretch;

    public void MixInto(long firstFrame, Span<float> interleaved, int channelCount)
    {
        var first = firstFrame - stretch.StartFrame;
        var mono = scratch.Rendered(interleaved.Length / channelCount);
        stripe.Render(first, mono);
        for (var i = 0; i < mono.Length; i++)
            interleaved[i * channelCount + track - 1] += (float)(mono[i] * _fade.At(first + i));
    }

    public void Dispose() { }
}
