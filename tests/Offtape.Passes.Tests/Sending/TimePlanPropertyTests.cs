using CsCheck;
using Offtape.Tape;

namespace Offtape.Passes.Tests;

/// <summary>What must hold of every plan, whatever is asked: checked on thousands of random requests, in whole frames.</summary>
public sealed class TimePlanPropertyTests
{
    private static readonly Gen<(SendRequest Request, long[] Items, int Rate)> Any =
        from rate in Gen.Int[0, 4].Select(i => new[] { 16_000, 44_100, 48_000, 96_000, 176_399 }[i])
        from items in Gen.Long[1, 10_000_000].Array[1, 40]
        from lead in Gen.Double[3.28, 30]
        from gap in Gen.Double[1.68, 20]
        from slates in Gen.Bool
        from parallel in Gen.Bool
        from lineUp in Gen.Bool
        from stripe in Gen.Bool
        select (
            new SendRequest
            {
                Sources = ["x"],
                TargetFolder = "y",
                LeadSeconds = lead,
                GapSeconds = gap,
                Slates = slates,
                Layout = parallel ? SendLayout.Parallel : SendLayout.Serial,
                LineUp = lineUp,
                StripeTrack = stripe ? 3 : null,
            },
            items,
            rate
        );

    private static long Frames(double seconds, int rate) => (long)Math.Round(seconds * rate, MidpointRounding.AwayFromZero);

    private static void ForAny(Action<SendRequest, long[], int, TimePlan> check) =>
        Any.Sample(c => check(c.Request, c.Items, c.Rate, TimePlan.Make(c.Items, c.Request, c.Rate)), iter: 2000, threads: 1);

    [Fact]
    public void Sounds_slates_and_tone_never_overlap_and_lie_inside_the_send() =>
        ForAny(
            (request, _, rate, plan) =>
            {
                var clear = Frames(0.4, rate) - 1;
                var all = plan.Slates.Select(s => (s.Stretch.StartFrame, s.Stretch.EndFrameExcl, IsItem: false));
                all = all.Concat(
                    request.Layout == SendLayout.Serial
                        ? plan.Items.Select(i => (i.StartFrame, i.EndFrameExcl, IsItem: true))
                        : [(plan.Items.Min(i => i.StartFrame), plan.Items.Max(i => i.EndFrameExcl), IsItem: true)]
                );
                if (plan.Tone is { } tone)
                    all = all.Append((tone.StartFrame, tone.EndFrameExcl, IsItem: false));
                var ordered = all.OrderBy(s => s.StartFrame).ToArray();
                for (var i = 1; i < ordered.Length; i++)
                    Assert.True(ordered[i].StartFrame - ordered[i - 1].EndFrameExcl >= clear);
                Assert.True(ordered[0].StartFrame >= 0);
                Assert.True(ordered[^1].EndFrameExcl < plan.FrameCount);
            }
        );

    [Fact]
    public void Sources_keep_their_lengths_and_gaps_are_as_asked() =>
        ForAny(
            (request, items, rate, plan) =>
            {
                Assert.Equal(items, plan.Items.Select(i => i.FrameCount));
                var lead = Frames(request.LeadSeconds, rate) + (request.LineUp ? 21L * rate : 0);
                Assert.Equal(lead, plan.Items[0].StartFrame);
                for (var i = 1; i < items.Length; i++)
                    Assert.Equal(
                        request.Layout == SendLayout.Serial ? plan.Items[i - 1].EndFrameExcl + Frames(request.GapSeconds, rate) : lead,
                        plan.Items[i].StartFrame
                    );
            }
        );

    [Fact]
    public void The_whole_length_is_the_sum_of_its_parts() =>
        ForAny(
            (request, items, rate, plan) =>
            {
                var sounds =
                    request.Layout == SendLayout.Serial ? items.Sum() + (items.Length - 1) * Frames(request.GapSeconds, rate) : items.Max();
                var tail = request.Slates ? rate + (long)Math.Ceiling(Slate.LengthSeconds(SlateKind.Tail) * rate) : 0;
                var lineUp = request.LineUp ? 21L * rate : 0;
                Assert.Equal(lineUp + Frames(request.LeadSeconds, rate) + sounds + tail + rate, plan.FrameCount);
            }
        );

    [Fact]
    public void There_is_a_head_and_a_tail_slate_and_one_in_each_gap() =>
        ForAny(
            (request, items, rate, plan) =>
            {
                var gaps = request.Layout == SendLayout.Serial ? items.Length - 1 : 0;
                SlateKind[] wanted = request.Slates ? [SlateKind.Head, .. Enumerable.Repeat(SlateKind.Gap, gaps), SlateKind.Tail] : [];
                Assert.Equal(wanted, plan.Slates.Select(s => s.Kind));
                if (!request.Slates)
                    return;
                // The noise before the head slate is measured: at least a second of it.
                var leadStart = request.LineUp ? 21L * rate : 0;
                Assert.True(plan.Slates[0].Stretch.StartFrame - leadStart >= rate);
            }
        );

    [Fact]
    public void The_stripe_spans_every_sound_and_no_head_or_tail_slate() =>
        ForAny(
            (request, _, _, plan) =>
            {
                Assert.Equal(request.StripeTrack is null, plan.Stripe is null);
                if (plan.Stripe is not { } stripe)
                    return;
                Assert.All(plan.Items, i => Assert.True(i.StartFrame > stripe.StartFrame && i.EndFrameExcl < stripe.EndFrameExcl));
                Assert.All(
                    plan.Slates.Where(s => s.Kind != SlateKind.Gap),
                    s => Assert.True(s.Stretch.EndFrameExcl < stripe.StartFrame || s.Stretch.StartFrame > stripe.EndFrameExcl)
                );
                Assert.True(stripe.StartFrame >= (plan.Tone?.EndFrameExcl ?? 0) && stripe.EndFrameExcl <= plan.FrameCount);
            }
        );
}
