using Offtape.Tape;

namespace Offtape.Passes;

/// <summary>The audio of a send, from its first frame to its last, block by block. Memory follows the block, not the length.</summary>
internal sealed class SendRenderer : IDisposable
{
    private readonly List<ISendVoice> _voices = [];
    private readonly int _channelCount;

    internal SendRenderer(SendPlan plan)
    {
        _channelCount = plan.ChannelCount;
        var scratch = new VoiceScratch();
        var passNumber = Slate.ShortPassNumber(plan.PassId);
        foreach (var item in plan.Items)
            _voices.Add(new SourceVoice(item, plan.Request.Reversed, scratch));
        foreach (var (number, slate) in plan.Time.Slates.Index())
        {
            var code = new SlateCode(slate.Kind, SheetMaker.SlateNumber(slate.Kind, number), passNumber);
            _voices.Add(new SlateVoice(code, slate.Stretch, SheetMaker.SlateTracks(plan, slate.Kind), plan.SampleRateHz));
        }
        if (plan.Time.Tone is { } tone)
            _voices.Add(new ToneVoice(SendTiming.ToneHz(plan.Request.SpeedCmPerSecond), tone, plan.UsedTracks, plan.SampleRateHz));
        if (plan.Time.Stripe is { } stretch)
        {
            var stripe = new Stripe(Stripe.SeedFor(passNumber), plan.SampleRateHz);
            _voices.Add(new StripeVoice(stripe, stretch, plan.Request.StripeTrack!.Value, scratch));
        }
        _voices.Sort((a, b) => a.Sounding.StartFrame.CompareTo(b.Sounding.StartFrame));
    }

    /// <summary>The next block.</summary>
    /// <param name="firstFrame">Where the block before ended; 0 at first.</param>
    /// <param name="interleaved">Overwritten.</param>
    internal void Render(long firstFrame, Span<float> interleaved)
    {
        interleaved.Clear();
        var endFrameExcl = firstFrame + interleaved.Length / _channelCount;
        for (var i = 0; i < _voices.Count && _voices[i].Sounding.StartFrame < endFrameExcl; )
        {
            var voice = _voices[i];
            var from = Math.Max(firstFrame, voice.Sounding.StartFrame);
            var to = Math.Min(endFrameExcl, voice.Sounding.EndFrameExcl);
            if (to > from)
                voice.MixInto(
                    from,
                    interleaved.Slice((int)(from - firstFrame) * _channelCount, (int)(to - from) * _channelCount),
                    _channelCount
                );
            if (voice.Sounding.EndFrameExcl <= endFrameExcl)
            {
                voice.Dispose();
                _voices.RemoveAt(i);
            }
            else
                i++;
        }
    }

    public void Dispose() => _voices.ForEach(v => v.Dispose());
}
