using Offtape.Tape;

namespace Offtape.Bench.Tests.Captures;

/// <summary>Parts of a check signal without a slate about them: found by their sound where that says enough, and not claimed where it does not.</summary>
public sealed class PartAloneTests
{
    private const int RateHz = 48_000;
    private const double LeadSeconds = 1.7;

    private static readonly BenchSheet Sheet = BenchSheetMaker.Make(new BenchSheetRequest());

    /// <summary>Readers leave out 35 ms at either edge of a step: a place has to be surer than that.</summary>
    private const double ToleranceSeconds = 0.02;

    [Theory]
    [InlineData("sweep-0-both", 1.012)]
    [InlineData("stairs-1000", 0.985)]
    [InlineData("level-1000", 1.02)]
    [InlineData("multitone-0", 1.004)]
    [InlineData("polarity", 0.99)]
    public void A_part_that_is_named_is_found_where_it_stands(string name, double speed)
    {
        var part = Sheet.Parts.Single(p => p.Name == name);
        var location = Locate(Capture(speed, part), [name]);
        var capture = Assert.Single(location.Runs);
        Assert.Equal([name], capture.Heard.Select(p => p.Name));
        Assert.All(capture.Missing, m => Assert.NotEmpty(m.Reason));
        Assert.Contains(location.Notices, n => n.Code == "slate-missing" && n.Text.Contains(name, StringComparison.Ordinal));
        var starts = capture.Clock.CaptureAt(part.StartSeconds) + capture.StartInFileSeconds;
        var ends = capture.Clock.CaptureAt(part.StartSeconds + part.LengthSeconds) + capture.StartInFileSeconds;
        Assert.Equal(LeadSeconds, starts, ToleranceSeconds);
        Assert.Equal(LeadSeconds + part.LengthSeconds / speed, ends, ToleranceSeconds);
    }

    [Fact]
    public void What_sounds_like_one_part_only_is_found_without_a_word()
    {
        var stairs = Sheet.Parts.Single(p => p.Name == "stairs-315");
        var capture = Assert.Single(Locate(Capture(1.01, stairs), []).Runs);
        Assert.Equal(["stairs-315"], capture.Heard.Select(p => p.Name));
    }

    [Fact]
    public void One_of_several_like_sweeps_is_not_guessed()
    {
        var location = Locate(Capture(1, Sheet.Parts.Single(p => p.Name == "sweep-plus6-both")), []);
        Assert.Empty(location.Runs);
        Assert.Contains("sweep-plus6-both", location.WhyNone, StringComparison.Ordinal);
        Assert.Contains("--parts", location.WhyNone, StringComparison.Ordinal);
    }

    [Fact]
    public void Noise_is_no_part_whatever_is_asked_for()
    {
        var noise = new float[6 * RateHz];
        BenchRun.AddNoise(noise, 0.05, 3);
        // Three seconds of many tones are much like three seconds of noise, but for the pauses about them.
        Assert.Empty(Locate(noise, ["sweep-0-both", "multitone-0"]).Runs);
    }

    private static BenchLocation Locate(float[] capture, string[] parts) =>
        BenchLocator.Locate([capture], RateHz, HowTaken.Rewound, Sheet, parts, TestContext.Current.CancellationToken);

    // Played at another speed: the part's own formula at the moments heard.
    private static float[] Capture(double speed, BenchPart part)
    {
        var capture = new float[(int)((LeadSeconds + part.LengthSeconds / speed + 1.2) * RateHz)];
        PartSound.Add(part, Sheet.OperatingLevelDbfs, -LeadSeconds * RateHz, RateHz / speed, capture);
        BenchRun.AddNoise(capture, 0.002, 1);
        return capture;
    }
}
