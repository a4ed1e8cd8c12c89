namespace Offtape.Bench.Tests;

/// <summary>The sentence for a person.</summary>
public sealed class BenchSummaryTests
{
    private static Reading Treble(int channel, double? hz, string at = "−20 dB") =>
        BenchReportTests.Read("trebleLimit", hz, 100, "Hz", channel, at);

    [Fact]
    public void A_dull_machine_is_told_to_be_cleaned_first()
    {
        var words = BenchSummary.Of([
            BenchReportTests.Read("weightedTwoSigma", 0.12, 0.01, "%"),
            BenchReportTests.Read("balance", -0.3, 0.02, at: "1 kHz, 0 dB"),
            BenchReportTests.Read("balance", -3, 0.02, at: "315 Hz, 0 dB"),
            Treble(1, 9040),
            Treble(2, 14_000),
            Treble(1, 3000, "+6 dB"),
        ]);
        Assert.Equal(
            "Steady (0.12 %), 0.3 dB apart, dull above 9.0 kHz in channel 1: clean the heads first, then look at azimuth; bias and the kind of tape "
                + "can be behind it as well.",
            words
        );
    }

    [Fact]
    public void A_healthy_machine_is_left_alone() =>
        Assert.Equal(
            "Steady (0.08 %), 0.1 dB apart, clear to 15 kHz.",
            BenchSummary.Of([
                BenchReportTests.Read("weightedTwoSigma", 0.08, 0.01, "%"),
                BenchReportTests.Read("balance", 0.1, 0.02, at: "1 kHz, 0 dB"),
                Treble(1, 15_200),
                BenchReportTests.Read("hum", -70, 1),
            ])
        );

    [Fact]
    public void What_was_not_read_is_not_said()
    {
        Assert.Equal("What was heard is not enough to say how the machine is.", BenchSummary.Of([BenchReportTests.Read("balance", null)]));
        Assert.Equal(
            "Unsteady (0.55 % weighted): clean capstan and pinch roller, then look at belts and idlers.",
            BenchSummary.Of([BenchReportTests.Read("weightedTwoSigma", 0.55, 0.01, "%")])
        );
    }
}
