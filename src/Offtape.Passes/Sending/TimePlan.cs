using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Passes;

/// <summary>What stands when in a send. Everything begins on a whole frame.</summary>
/// <param name="Items">One stretch a source, in order.</param>
/// <param name="Slates">Head, gaps, tail, in order of time; empty without slates.</param>
/// <param name="Tone">The line-up tone; null without.</param>
/// <param name="Stripe">The sync signal; null without.</param>
/// <param name="FrameCount">Length of the whole send.</param>
internal sealed record TimePlan(
    IReadOnlyList<Stretch> Items,
    IReadOnlyList<(SlateKind Kind, Stretch Stretch)> Slates,
    Stretch? Tone,
    Stretch? Stripe,
    long FrameCount
)
{
    /// <param name="itemFrameCounts">Length of each source in the send, at least one of them.</param>
    /// <param name="request">Checked by <see cref="RequestCheck"/>.</param>
    /// <param name="sampleRateHz">Rate of the send.</param>
    internal static TimePlan Make(IReadOnlyList<long> itemFrameCounts, SendRequest request, int sampleRateHz)
    {
        long Frames(double seconds) => Conversions.SecondsToFrames(seconds, sampleRateHz);
        long SlateFrames(SlateKind kind) => Conversions.SecondsToFramesCeiling(Slate.LengthSeconds(kind), sampleRateHz);

        Stretch? tone = request.LineUp ? new Stretch(Frames(SendTiming.ToneQuietSeconds), Frames(SendTiming.ToneSeconds)) : null;
        var leadStart = tone?.EndFrameExcl ?? 0;
        var start = leadStart + Frames(request.LeadSeconds);
        var slates = new List<(SlateKind Kind, Stretch Stretch)>();
        if (request.Slates)
        {
            var headFrames = SlateFrames(SlateKind.Head);
            var clear = start - leadStart - Frames(SendTiming.QuietSeconds) - headFrames;
            slates.Add((SlateKind.Head, new Stretch(start - Math.Min(clear, Frames(SendTiming.ClearSeconds)) - headFrames, headFrames)));
        }

        var items = new List<Stretch>();
        foreach (var frameCount in itemFrameCounts)
        {
            if (items.Count > 0 && request.Layout == SendLayout.Serial)
            {
                var end = items[^1].EndFrameExcl;
                start = end + Frames(request.GapSeconds);
                if (request.Slates)
                {
                    var gapFrames = SlateFrames(SlateKind.Gap);
                    slates.Add((SlateKind.Gap, new Stretch(end + (start - end - gapFrames) / 2, gapFrames)));
                }
            }
            items.Add(new Stretch(start, frameCount));
        }

        var programmeEnd = items.Max(i => i.EndFrameExcl);
        var soundEnd = programmeEnd;
        if (request.Slates)
        {
            slates.Add((SlateKind.Tail, new Stretch(programmeEnd + Frames(SendTiming.ClearSeconds), SlateFrames(SlateKind.Tail))));
            soundEnd = slates[^1].Stretch.EndFrameExcl;
        }
        var total = soundEnd + Frames(SendTiming.EndSeconds);
        return new TimePlan(items, slates, tone, request.StripeTrack is null ? null : StripeStretch(), total);

        // From just after the head slate to just before the tail slate; without slates, a second more than the sounds on either side.
        Stretch StripeStretch()
        {
            var from = request.Slates
                ? slates[0].Stretch.EndFrameExcl + Frames(SendTiming.StripeClearSeconds)
                : Math.Max(leadStart, items[0].StartFrame - Frames(SendTiming.ClearSeconds));
            var to = request.Slates ? slates[^1].Stretch.StartFrame - Frames(SendTiming.StripeClearSeconds) : total;
            return new Stretch(from, to - from);
        }
    }

    internal double Seconds(int sampleRateHz) => Conversions.FramesToSeconds(FrameCount, sampleRateHz);
}
