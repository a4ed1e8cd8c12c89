using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Passes.Tests;

/// <summary>Slates, tone and stripe stand in the send where the sheet says, at their level.</summary>
public sealed class SlatePlacementTests : IDisposable
{
    private readonly SendBench _bench = new();

    public void Dispose() => _bench.Dispose();

    /// <summary>Half a step of 24 bits, and single precision.</summary>
    private const double Rounding = 0.625 / 8_388_608;

    [Fact]
    public void Every_slate_is_the_signal_its_code_stands_for_12_dB_under_operating_level()
    {
        var sources = Enumerable.Range(0, 4).Select(i => _bench.Source($"{i}.wav", 0.3)).ToArray();
        var result = _bench.Run(_bench.Request(sources) with { LevelDbfs = -30 });
        var (send, sheet) = (_bench.Send(), result.Sheet);
        Assert.Equal([SlateKind.Head, SlateKind.Gap, SlateKind.Gap, SlateKind.Gap, SlateKind.Tail], sheet.Slates.Select(s => s.Kind));
        Assert.Equal([0, 1, 2, 3, 4], sheet.Slates.Select(s => s.Number));
        Assert.Equal(-24, sheet.SlateLevelDbfs);
        Assert.Equal(-12, sheet.OperatingLevelDbfs);
        Assert.Equal(Slate.FormatVersion, sheet.SlateFormatVersion);
        foreach (var slate in sheet.Slates)
        {
            var wanted = Slate.Synthesise(new SlateCode(slate.Kind, slate.Number, Slate.ShortPassNumber(sheet.PassId)), 48_000);
            var start = (long)Math.Round(slate.StartSeconds * 48_000);
            Assert.Equal(start / 48_000.0, slate.StartSeconds);
            Measured.Within(wanted.Length / 48_000.0, slate.LengthSeconds, 1e-12, "length");
            for (var i = 0; i < wanted.Length; i++)
            for (var channel = 0; channel < 2; channel++)
                Measured.Within(wanted[i] * Math.Pow(10, -24 / 20.0), send[start + i, channel], Rounding, $"{slate.Kind} {i}");
        }
    }

    [Fact]
    public void Slates_are_found_in_the_send_where_the_sheet_says()
    {
        var sources = Enumerable.Range(0, 3).Select(i => _bench.Source($"{i}.wav", 1, seed: i)).ToArray();
        var sheet = _bench.Run(_bench.Request(sources)).Sheet;
        foreach (var slate in sheet.Slates)
        foreach (var sound in sheet.Items)
        {
            var clear =
                slate.StartSeconds < sound.StartSeconds
                    ? sound.StartSeconds - slate.StartSeconds - slate.LengthSeconds
                    : slate.StartSeconds - sound.StartSeconds - sound.SendLengthSeconds;
            Measured.AtLeast(0.4, clear, $"silence between {slate.Kind} {slate.Number} and {sound.Source}");
        }
        Measured.AtLeast(1, sheet.Slates[0].StartSeconds, "silence before the head slate");
    }

    [Fact]
    public void Numbers_begin_again_after_what_a_slate_can_say()
    {
        var sources = Enumerable.Range(0, 40).Select(i => _bench.Source($"{i}.wav", 0.01)).ToArray();
        var sheet = _bench.Run(_bench.Request(sources) with { SampleRateHz = 16_000 }).Sheet;
        Assert.Equal(41, sheet.Slates.Count);
        Assert.Equal(31, sheet.Slates[31].Number);
        Assert.Equal(0, sheet.Slates[32].Number);
        Assert.Equal(40 % 16, sheet.Slates[40].Number);
    }

    [Theory, InlineData(null, 1000), InlineData(19.05, 1000), InlineData(4.76, 315)]
    public void The_line_up_tone_is_twenty_seconds_at_operating_level(double? speedCmPerSecond, double hertz)
    {
        var sheet = _bench
            .Run(_bench.Request(_bench.Source("a.wav", 0.5)) with { LineUp = true, SpeedCmPerSecond = speedCmPerSecond })
            .Sheet;
        var tone = sheet.LineUp!;
        Assert.Equal((hertz, 20, -12), (tone.FrequencyHz, tone.LengthSeconds, tone.LevelDbfs));
        Assert.Equal([1, 2], tone.Tracks);
        Assert.Equal(tone.StartSeconds + 20 + 8, sheet.Items[0].StartSeconds);
        Measured.AtLeast(tone.StartSeconds + 21, sheet.Slates[0].StartSeconds, "start of the head slate");
        // Inside the fades it is that sine, no more and no less.
        var send = _bench.Send();
        for (var i = 2400; i < 20 * 48_000 - 2400; i++)
        {
            var wanted = Math.Pow(10, -12 / 20.0) * Math.Sin(2 * Math.PI * hertz * i / 48_000);
            Measured.Within(wanted, send[(long)Math.Round(tone.StartSeconds * 48_000) + i, 1], Rounding, $"tone at {i}");
        }
    }

    [Fact]
    public void The_stripe_runs_on_its_track_alone_and_is_the_one_the_sheet_names()
    {
        var result = _bench.Run(
            _bench.Request(_bench.Source("a.wav", 1, 2), _bench.Source("b.wav", 1, 2)) with
            {
                StripeTrack = 3,
                PassId = "pass under test",
            }
        );
        var (send, sheet, stripe) = (_bench.Send(), result.Sheet, result.Sheet.Stripe!);
        Assert.Equal(3, sheet.ChannelCount);
        Assert.Equal((Stripe.FormatVersion, 3, -12), (stripe.FormatVersion, stripe.Track, stripe.LevelDbfs));
        Assert.True(stripe.TryReadSeed(out var seed));
        Assert.Equal(Stripe.SeedFor(Slate.ShortPassNumber("pass under test")), seed);
        var wanted = new float[(int)Math.Round(stripe.LengthSeconds * 48_000)];
        new Stripe(seed, 48_000).Render(0, wanted);
        var start = (long)Math.Round(stripe.StartSeconds * 48_000);
        var fade = (int)(stripe.FadeSeconds * 48_000);
        for (var i = fade; i < wanted.Length - fade; i++)
            Measured.Within(wanted[i], send[start + i, 2], Rounding, $"stripe at {i}");
        // The fade at each end is a raised cosine over the time that the sheet states.
        for (var i = 0; i < fade; i++)
        {
            var weight = 0.5 - 0.5 * Math.Cos(Math.PI * i / fade);
            Measured.Within(weight * wanted[i], send[start + i, 2], Rounding, $"fade in at {i}");
            Measured.Within(weight * wanted[^(i + 1)], send[start + wanted.Length - 1 - i, 2], Rounding, $"fade out at {i}");
        }
        Assert.Equal([1, 2, 3], sheet.Slates[0].Tracks);
        Assert.Equal([1, 2], sheet.Slates[1].Tracks);
        Assert.Equal([1, 2, 3], sheet.Slates[2].Tracks);
        Assert.All(sheet.Items, i => Assert.Equal([1, 2], i.Tracks));
        Measured.AtMost(sheet.Items[0].StartSeconds - 0.2, stripe.StartSeconds, "start of the stripe");
        Measured.AtLeast(sheet.Items[1].StartSeconds + 1.2, stripe.StartSeconds + stripe.LengthSeconds, "end of the stripe");
    }

    [Fact]
    public void A_stripe_on_track_two_leaves_mono_sources_track_one()
    {
        var result = _bench.Run(_bench.Request(_bench.Source("a.wav", 0.5)) with { StripeTrack = 2 });
        Assert.Equal([1], result.Sheet.Items[0].Tracks);
        Assert.Equal(2, result.Sheet.ChannelCount);
        Assert.Contains(result.Notices, n => n.Code == "stripe-track");
    }

    [Fact]
    public void Without_slates_there_are_none_and_the_sheet_says_so()
    {
        var result = _bench.Run(_bench.Request(_bench.Source("a.wav", 0.5)) with { Slates = false, LeadSeconds = 0.5 });
        Assert.Empty(result.Sheet.Slates);
        Assert.Null(result.Sheet.SlateFormatVersion);
        Assert.Equal(0.5, result.Sheet.Items[0].StartSeconds);
        Assert.Equal(["no-slates", "short-quiet"], result.Notices.Select(n => n.Code));
    }
}
