using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>Finds check signals in captures made by arithmetic: the rendered signal, moved, cut, muted, clipped or at another rate.</summary>
public sealed class BenchLocatorTests
{
    private static readonly BenchSheet Sheet = BenchSheetMaker.Make(new BenchSheetRequest());
    private static readonly Lazy<float[][]> Rendered = new(() => BenchSignal.Render(Sheet));

    /// <summary>The rendered signal behind so many frames of silence.</summary>
    private static float[][] Late(int frames, BenchSheet? sheet = null) =>
        [
            .. (sheet is null ? Rendered.Value : BenchSignal.Render(sheet)).Select(c =>
                (float[])[.. new float[frames], .. c, .. new float[48_000]]
            ),
        ];

    private static BenchCapture One(float[][] capture, BenchSheet? sheet = null, int rate = 48_000)
    {
        var location = BenchLocator.Locate(capture, rate, HowTaken.Rewound, sheet, cancellation: TestContext.Current.CancellationToken);
        Assert.Null(location.WhyNone);
        return Assert.Single(location.Runs);
    }

    [Fact]
    public void A_capture_is_found_without_its_sheet_with_all_parts_at_their_places()
    {
        var capture = One(Late(100_000));
        Assert.Equal(Sheet.SheetId, capture.Sheet.SheetId);
        Assert.Empty(capture.Missing);
        Assert.Empty(capture.Clipped);
        Assert.Equal(Sheet.Parts.Count, capture.Heard.Count);
        foreach (var part in Sheet.Parts)
        {
            foreach (var share in new[] { 0, 0.25, 0.5, 1 })
            {
                var t = part.StartSeconds + share * part.LengthSeconds;
                // A tenth of the step at which levels are compared.
                Measured.Within(
                    t + 100_000 / 48_000.0,
                    capture.Clock.CaptureAt(t) + capture.StartInFileSeconds,
                    1e-4,
                    $"{part.Name} at {share}"
                );
            }
        }
    }

    // Enough for most questions, and a third as long.
    private static readonly BenchSheet Short = BenchSheetMaker.Make(
        new BenchSheetRequest { Parts = ["level", "stairs-315", "sweep", "silence"] }
    );

    private static int Frame(double sendSeconds, int lead) => lead + (int)Math.Round(sendSeconds * 48_000);

    private static BenchPart Part(string name) => Short.Parts.Single(p => p.Name == name);

    private static string Reason(BenchCapture capture, string name) => capture.Missing.Single(m => m.Name == name).Reason;

    [Fact]
    public void A_tape_that_runs_at_another_speed_moves_every_part_in_proportion()
    {
        // The same samples, said to be of another rate: one per cent fast.
        const int saidHz = 48_480;
        var capture = One(Late(30_000, Short), Short, saidHz);
        Assert.Empty(capture.Missing);
        foreach (var part in Short.Parts)
        {
            var wanted = Frame(part.StartSeconds, 30_000) / (double)saidHz;
            // As at the right speed; shapes are compared at the speed of the slates.
            Measured.Within(wanted, capture.Clock.CaptureAt(part.StartSeconds) + capture.StartInFileSeconds, 1e-4, part.Name);
        }
    }

    [Fact]
    public void Of_a_capture_that_begins_late_and_ends_early_the_rest_is_read_and_the_reasons_are_said()
    {
        var whole = Late(0, Short);
        var from = Frame(Part("level-1000").StartSeconds + 2, 0);
        var to = Frame(Part("sweep-minus20-left").StartSeconds + 1, 0);
        var capture = One([.. whole.Select(c => c[from..to])], Short);
        Assert.Equal("the capture begins after it", Reason(capture, "level-315"));
        Assert.Equal("the capture begins within it", Reason(capture, "level-1000"));
        Assert.Equal("the capture ends within it", Reason(capture, "sweep-minus20-left"));
        Assert.Equal("the capture ends before it", Reason(capture, "sweep-minus20-right"));
        Assert.Equal(
            ["silence", "stairs-315", "sweep-minus20-both", "sweep-0-both", "sweep-plus6-both"],
            capture.Heard.Select(p => p.Name)
        );
        Assert.Contains("the capture begins within it", capture.WhyNot("level-1000"), StringComparison.Ordinal);
    }

    [Fact]
    public void A_part_that_is_silent_or_falls_away_is_not_taken_for_heard()
    {
        var whole = Late(10_000, Short);
        foreach (var channel in whole)
        {
            Array.Clear(channel, Frame(Part("level-315").StartSeconds, 10_000), 4 * 48_000);
            Array.Clear(channel, Frame(Part("level-1000").StartSeconds + 3, 10_000), 48_000);
            // As a tape would have it: noise some 55 dB under the tones, and no silence of zeros.
            var dice = new Random(1);
            for (var i = 0; i < channel.Length; i++)
                channel[i] += (float)(1e-3 * (dice.NextDouble() - 0.5));
        }
        var capture = One(whole, Short);
        Assert.Equal("nothing is heard where it should stand", Reason(capture, "level-315"));
        Assert.Contains("from 3.0 s on", Reason(capture, "level-1000"), StringComparison.Ordinal);
        Assert.Equal(2, capture.Missing.Count);
    }

    [Fact]
    public void Flat_tops_are_clipping_and_values_beyond_full_scale_are_not()
    {
        var whole = Late(10_000, Short);
        // The highest step of the stairs peaks at −2 dBFS, the sweep of +6 dB at −6: 4 dB more clips the one only.
        foreach (var channel in whole)
        {
            for (var i = 0; i < channel.Length; i++)
                channel[i] = Math.Clamp(1.585f * channel[i], -1, 1);
        }
        Assert.Equal(["stairs-315"], One(whole, Short).Clipped);

        var loud = Late(10_000, Short);
        foreach (var channel in loud)
        {
            for (var i = 0; i < channel.Length; i++)
                channel[i] *= 1.585f;
        }
        Assert.Empty(One(loud, Short).Clipped);
    }

    [Fact]
    public void One_channel_of_a_stereo_signal_is_enough_but_for_what_the_other_carries()
    {
        var capture = One([Late(10_000, Short)[0]], Short);
        Assert.Equal("nothing is heard where it should stand", Reason(capture, "sweep-minus20-right"));
        Assert.Single(capture.Missing);
    }

    [Fact]
    public void A_capture_at_another_rate_than_its_signal_is_found()
    {
        var at96 = BenchSheetMaker.Make(new BenchSheetRequest { SampleRateHz = 96_000, Parts = ["level", "sweep"] });
        var at48 = BenchSheetMaker.Make(new BenchSheetRequest { Parts = ["level", "sweep"] });
        var capture = One(BenchSignal.Render(at96), at48, 96_000);
        Assert.Empty(capture.Missing);
        var part = at48.Parts[^1];
        Measured.Within(part.StartSeconds, capture.Clock.CaptureAt(part.StartSeconds) + capture.StartInFileSeconds, 1e-4);
    }

    [Fact]
    public void Two_runs_in_one_capture_are_two()
    {
        var sheet = BenchSheetMaker.Make(new BenchSheetRequest { Parts = ["level"] });
        var once = Late(10_000, sheet);
        float[][] twice = [.. once.Select(c => (float[])[.. c, .. c])];
        var location = BenchLocator.Locate(twice, 48_000, HowTaken.Rewound, sheet, cancellation: TestContext.Current.CancellationToken);
        Assert.Equal(2, location.Runs.Count);
        Assert.All(location.Runs, r => Assert.Empty(r.Missing));
        var part = sheet.Parts[0];
        double At(int run) => location.Runs[run].Clock.CaptureAt(part.StartSeconds) + location.Runs[run].StartInFileSeconds;
        Measured.Within(once[0].Length / 48_000.0, At(1) - At(0), 1e-5);
    }

    [Fact]
    public void Without_its_slates_it_is_found_by_its_long_tone()
    {
        var sheet = BenchSheetMaker.Make(new BenchSheetRequest { Parts = ["level", "speed", "sweep"] });
        var whole = Late(100_000, sheet);
        foreach (var channel in whole)
        {
            foreach (var slate in sheet.Slates)
                Array.Clear(channel, Frame(slate.StartSeconds, 100_000), (int)Math.Ceiling(slate.LengthSeconds * 48_000));
        }
        var location = BenchLocator.Locate(whole, 48_000, HowTaken.Rewound, sheet, cancellation: TestContext.Current.CancellationToken);
        var capture = Assert.Single(location.Runs);
        Assert.Contains(location.Notices, n => n.Code == "slate-missing");
        Assert.Empty(capture.Missing);
        foreach (var part in sheet.Parts)
            Measured.Within(
                part.StartSeconds + 100_000 / 48_000.0,
                capture.Clock.CaptureAt(part.StartSeconds) + capture.StartInFileSeconds,
                1e-3,
                part.Name
            );
    }

    [Fact]
    public void What_holds_no_check_signal_has_no_run_and_a_reason()
    {
        var dice = new Random(3);
        var noise = new float[20 * 48_000];
        for (var i = 0; i < noise.Length; i++)
            noise[i] = (float)(0.2 * (dice.NextDouble() - 0.5));
        var location = BenchLocator.Locate(
            [noise, noise],
            48_000,
            HowTaken.OffTape,
            null,
            cancellation: TestContext.Current.CancellationToken
        );
        Assert.Empty(location.Runs);
        Assert.Contains("not in this capture", location.WhyNone, StringComparison.Ordinal);

        // A long 3150 Hz tone alone is no check signal.
        var tone = new float[70 * 48_000];
        for (var i = 10 * 48_000; i < 60 * 48_000; i++)
            tone[i] = (float)(0.1 * Math.Sin(2 * Math.PI * 3150 * i / 48_000.0));
        Assert.Empty(BenchLocator.Locate([tone], 48_000, HowTaken.OffTape, null, cancellation: TestContext.Current.CancellationToken).Runs);
    }

    [Fact]
    public void Slates_of_another_signal_and_a_signal_heard_backwards_are_told_as_what_they_are()
    {
        var sheet = BenchSheetMaker.Make(new BenchSheetRequest { Parts = ["level"] });
        var capture = Late(10_000, sheet);
        var unknown = BenchLocator.Locate(capture, 48_000, HowTaken.Rewound, null, cancellation: TestContext.Current.CancellationToken);
        Assert.Empty(unknown.Runs);
        Assert.Contains("--sheet", unknown.WhyNone, StringComparison.Ordinal);

        foreach (var channel in capture)
            Array.Reverse(channel);
        var backwards = BenchLocator.Locate(capture, 48_000, HowTaken.Rewound, sheet, cancellation: TestContext.Current.CancellationToken);
        Assert.Empty(backwards.Runs);
        Assert.Contains("backwards", backwards.WhyNone, StringComparison.Ordinal);
    }
}
