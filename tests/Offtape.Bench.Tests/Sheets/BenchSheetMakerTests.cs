using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench.Tests;

/// <summary>What a check signal holds, and what it is refused for.</summary>
public sealed class BenchSheetMakerTests
{
    private static BenchSheet Make(int channelCount = 2, int sampleRateHz = 48_000, double levelDbfs = -12, params string[] parts) =>
        BenchSheetMaker.Make(
            new BenchSheetRequest
            {
                ChannelCount = channelCount,
                SampleRateHz = sampleRateHz,
                LevelDbfs = levelDbfs,
                Parts = parts,
            }
        );

    [Fact]
    public void The_parts_of_a_stereo_signal_have_these_names()
    {
        string[] wanted =
        [
            "polarity",
            "level-315",
            "level-1000",
            "speed-3150",
            "silence",
            "stairs-315",
            "stairs-1000",
            "stairs-10000",
            "multitone-minus20",
            "multitone-0",
            "multitone-plus6",
            "sweep-minus20-both",
            "sweep-0-both",
            "sweep-plus6-both",
            "sweep-minus20-left",
            "sweep-minus20-right",
            "erasure",
        ];
        Assert.Equal(wanted, Make().Parts.Select(p => p.Name));
    }

    [Fact]
    public void It_lasts_between_three_and_four_minutes() => Assert.InRange(Make().LengthSeconds, 180, 240);

    [Theory, InlineData(44_100), InlineData(48_000), InlineData(88_200), InlineData(96_000), InlineData(192_000)]
    public void Every_part_and_slate_begins_on_a_whole_frame(int sampleRateHz)
    {
        var sheet = Make(sampleRateHz: sampleRateHz);
        foreach (var seconds in sheet.Parts.Select(p => p.StartSeconds).Concat(sheet.Slates.Select(s => s.StartSeconds)))
        {
            var frames = seconds * sampleRateHz;
            Assert.InRange(Math.Abs(frames - Math.Round(frames)), 0, 1e-6);
        }
    }

    [Theory, InlineData(1), InlineData(2), InlineData(4)]
    public void Parts_and_slates_do_not_overlap(int channelCount)
    {
        var sheet = Make(channelCount);
        var all = sheet
            .Parts.Select(p => (Start: p.StartSeconds, End: p.StartSeconds + p.LengthSeconds))
            .Concat(sheet.Slates.Select(s => (Start: s.StartSeconds, End: s.StartSeconds + s.LengthSeconds)))
            .OrderBy(p => p.Start)
            .ToArray();
        for (var i = 1; i < all.Length; i++)
            Assert.True(all[i].Start - all[i - 1].End >= 0.9, $"{all[i - 1]} and {all[i]}");
        // A second of silence behind each sweep, for its reverberation and the harmonics' tails.
        Assert.True(all[^1].End < sheet.LengthSeconds);
    }

    [Fact]
    public void There_is_a_slate_at_least_once_a_minute()
    {
        var starts = Make().Slates.Select(s => s.StartSeconds).ToArray();
        Assert.All(starts.Zip(starts.Skip(1)), pair => Assert.InRange(pair.Second - pair.First, 5, 60));
    }

    [Fact]
    public void One_channel_has_no_sweeps_of_sides_and_four_have_one_each()
    {
        Assert.DoesNotContain(Make(1).Parts, p => p.Kind == BenchPartKind.Sweep && !p.Name.EndsWith("both", StringComparison.Ordinal));
        var single = Make(4).Parts.Where(p => p.Channels.Count == 1).ToArray();
        Assert.Equal(["sweep-0-ch1", "sweep-0-ch2", "sweep-0-ch3", "sweep-0-ch4"], single.Select(p => p.Name));
        Assert.Equal([1, 2, 3, 4], single.Select(p => p.Channels[0]));
    }

    [Fact]
    public void Sweeps_end_inside_the_band_of_the_rate()
    {
        Assert.All(Make(sampleRateHz: 44_100).Parts.Where(p => p.Kind == BenchPartKind.Sweep), p => Assert.Equal(19_845, p.ToHz!.Value, 6));
        Assert.All(Make(sampleRateHz: 96_000).Parts.Where(p => p.Kind == BenchPartKind.Sweep), p => Assert.Equal(20_000, p.ToHz));
    }

    [Fact]
    public void No_tone_of_a_multitone_lies_on_a_harmonic_of_another()
    {
        var tones = Make().Parts.First(p => p.Kind == BenchPartKind.Multitone).TonesHz;
        Assert.Equal(31, tones.Count);
        foreach (var a in tones)
        foreach (var b in tones)
        {
            for (var order = 2; order <= 5; order++)
                Assert.True(Math.Abs(Math.Log(b / (order * a))) > 0.009, $"{b} Hz and {order} times {a} Hz");
        }
    }

    [Fact]
    public void Parts_are_chosen_by_name_or_by_kind()
    {
        Assert.Equal(
            ["polarity", "stairs-315", "stairs-1000", "stairs-10000"],
            Make(parts: ["stairs", "polarity"]).Parts.Select(p => p.Name)
        );
        var fault = Assert.Throws<Fault>(() => Make(parts: ["speed", "wobble"]));
        Assert.Equal(ExitCode.Usage, fault.ExitCode);
        Assert.Contains("wobble", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_level_at_which_it_would_clip_is_refused()
    {
        // The stairs go 10 dB above operating level.
        var fault = Assert.Throws<Fault>(() => Make(levelDbfs: -10));
        Assert.Equal(ExitCode.Usage, fault.ExitCode);
        Assert.Contains("\u221210.1", fault.Message, StringComparison.Ordinal);
        Assert.NotEmpty(Make(levelDbfs: -10.1).Parts);
        Assert.NotEmpty(Make(levelDbfs: -3, parts: ["speed", "level"]).Parts);
    }

    [Fact]
    public void The_same_signal_has_the_same_identity_at_any_rate_and_another_signal_another()
    {
        Assert.Equal(Make().SheetId, Make(sampleRateHz: 96_000).SheetId);
        BenchSheet[] others =
        [
            Make(),
            Make(1),
            Make(4),
            Make(8),
            Make(sampleRateHz: 44_100),
            Make(1, sampleRateHz: 44_100),
            Make(4, sampleRateHz: 44_100),
            Make(8, sampleRateHz: 44_100),
        ];
        // Their slates tell them apart, too, so that a capture can be read without its sheet.
        Assert.Equal(others.Length, others.Select(s => Slate.ShortPassNumber(s.SheetId)).Distinct().Count());
        Assert.NotEqual(Make().SheetId, Make(levelDbfs: -14).SheetId);
    }

    /// <summary>Tapes that were recorded with an earlier choice of parts are still to be read, with their sheet and without it.</summary>
    [Fact]
    public void An_earlier_choice_of_parts_is_still_known_by_its_slates()
    {
        var sheets = SheetGuess.For(2);
        Assert.Equal(sheets.Count, sheets.Select(s => s.SheetId).Distinct().Select(Slate.ShortPassNumber).Distinct().Count());
        var earlier = BenchSheetMaker.Make(new BenchSheetRequest { Edition = 1 });
        // As the first version of the check signal was given out.
        Assert.Equal("bench-8855708660fc", earlier.SheetId);
        var heard = BenchSheetMaker.Make(new BenchSheetRequest { Edition = 1, Parts = ["stairs-10000"] });
        Assert.Equal(4, heard.Parts[0].StepLevelsDb[^1]);
        Assert.Equal(10, Make(parts: "stairs-10000").Parts[0].StepLevelsDb[^1]);
        var found = BenchLocator.Locate(
            BenchSignal.Render(earlier),
            48_000,
            HowTaken.Rewound,
            null,
            cancellation: TestContext.Current.CancellationToken
        );
        Assert.Equal(earlier.SheetId, Assert.Single(found.Runs).Sheet.SheetId);
    }
}
