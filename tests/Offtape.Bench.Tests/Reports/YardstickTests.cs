using Offtape.Base;

namespace Offtape.Bench.Tests;

/// <summary>Reports held against DIN 45 500 sheet 4 (limits as reported by tonbandmuseum.info), and against limits of one's own.</summary>
public sealed class YardstickTests
{
    private static YardstickLine Line(string words, params Reading[] readings) =>
        Yardstick.Hold(BenchReportTests.Report(readings)).Single(l => l.Words.StartsWith(words, StringComparison.Ordinal));

    /// <summary>Wow and flutter of 0.2 %, channels within 2 dB, erasure of 60 dB: the sheet's own limits.</summary>
    [Theory]
    [InlineData("wow", "weightedPeak", 0.15, 0.02, true)]
    [InlineData("wow", "weightedPeak", 0.25, 0.02, false)]
    [InlineData("wow", "weightedPeak", 0.19, 0.02, null)]
    [InlineData("level difference", "balance", -1.5, 0.1, true)]
    [InlineData("level difference", "balance", -2.5, 0.1, false)]
    [InlineData("erasure", "erasure", -64, 2, true)]
    [InlineData("erasure", "erasure", -52, 2, false)]
    [InlineData("speed", "speedError", -1.6, 0.01, false)]
    public void A_figure_holds_fails_or_cannot_be_told(string words, string quantity, double value, double uncertainty, bool? holds) =>
        Assert.Equal(holds, Line(words, BenchReportTests.Read(quantity, value, uncertainty, at: "1 kHz, 0 dB")).Holds);

    [Fact]
    public void The_worst_channel_counts_and_what_was_not_read_is_not_held()
    {
        var crosstalk = Line(
            "crosstalk",
            BenchReportTests.Read("crosstalk", -35, 1, at: "1 to 2, 1 kHz"),
            BenchReportTests.Read("crosstalk", -15, 1, at: "2 to 1, 1 kHz")
        );
        Assert.Equal((-15.0, false), (crosstalk.Got, crosstalk.Holds));
        Assert.Equal((null, null), (Line("erasure").Got, Line("erasure").Holds));
        // Hidden by noise, but surely below: that holds. Hidden above the limit: that cannot be told.
        var hidden = BenchReportTests.Read("erasure", null, at: "1 kHz");
        Assert.True(Line("erasure", hidden with { AtMost = -63 }).Holds);
        Assert.Null(Line("erasure", hidden with { AtMost = -50 }).Holds);
    }

    /// <summary>At least 46 dB of unweighted noise, and at most 15 dB less of treble, both against full modulation: by addition.</summary>
    [Fact]
    public void Noise_and_treble_are_held_against_full_modulation()
    {
        Reading[] readings =
        [
            BenchReportTests.Read("signalToNoiseUnweighted", 43, 0.5, channel: 1),
            BenchReportTests.Read("maximumOutputLevel", 4, 0.3, channel: 1, at: "315 Hz"),
            BenchReportTests.Read("maximumOutputLevel", 5, 0.3, channel: 1, at: "1 kHz"),
            BenchReportTests.Read("saturationOutputLevel", -13, 0.3, channel: 1, at: "10 kHz"),
        ];
        Assert.Equal((47.0, true), (Line("unweighted noise", readings).Got, Line("unweighted noise", readings).Holds));
        Assert.Equal((17.0, false), (Line("full level", readings).Got, Line("full level", readings).Holds));
    }

    [Fact]
    public void Limits_of_ones_own_are_ranges()
    {
        Assert.Equal(new ReadingLimit("weightedTwoSigma", null, 0.15), ReadingLimit.Parse("weightedTwoSigma=..0.15"));
        Assert.Equal(new ReadingLimit("balance", -1, 1), ReadingLimit.Parse("balance=-1..1"));
        Assert.Equal(new ReadingLimit("snr", 56, null), ReadingLimit.Parse("snr=56.."));
        foreach (var wrong in new[] { "balance", "balance=1", "=..1", "balance=..", "balance=2..1", "balance=a..b" })
            Assert.Equal(ExitCode.Usage, Assert.Throws<Fault>(() => ReadingLimit.Parse(wrong)).ExitCode);

        Reading[] readings = [BenchReportTests.Read("balance", 1.4, 0.1, channel: 2), BenchReportTests.Read("balance", null)];
        Assert.Equal("balance, channel 2: 1.40 dB is over 1 dB", Assert.Single(ReadingLimit.Parse("balance=-1..1").Outside(readings)));
        Assert.Empty(ReadingLimit.Parse("balance=..1000").Outside(readings));
    }

    /// <summary>JCGM 100:2008, 7.2.6: the uncertainty to two digits, the value to the same place.</summary>
    [Theory]
    [InlineData(12.3456, 0.0234, "12.346", "0.023")]
    [InlineData(-12.3456, 1.7, "\u221212.3", "1.7")]
    [InlineData(12_345.6, 180.0, "12346", "180")]
    public void Figures_have_the_places_that_their_uncertainty_carries(double value, double uncertainty, string figure, string plusMinus)
    {
        var reading = BenchReportTests.Read("a", value, uncertainty);
        Assert.Equal((figure, plusMinus), (ReadingFigures.Value(reading), ReadingFigures.Uncertainty(reading)));
    }
}
