using Offtape.Testing;

namespace Offtape.Signal.Tests.Loudness;

/// <summary>
/// Conformance: loudness range signals 1 to 4 of EBU Tech 3342, Table 1 (tones of 20 s each), with the document's ±1 LU. (5 and 6 are
/// recordings that the EBU hands out.)
/// </summary>
public sealed class EbuTech3342Tests
{
    [Theory]
    [InlineData(1, 10, new double[] { -20, -30 })]
    [InlineData(2, 5, new double[] { -20, -15 })]
    [InlineData(3, 20, new double[] { -40, -20 })]
    [InlineData(4, 15, new double[] { -50, -35, -20, -35, -50 })]
    public void Loudness_range_of_stepped_tones(int number, double wantedLu, double[] levelsDbfs)
    {
        var meter = new LoudnessMeter(2, EbuSignals.SampleRateHz);
        meter.Add(EbuSignals.Stereo(EbuSignals.SampleRateHz, levelsDbfs.Select(level => (level, 20.0)).ToArray()));
        Measured.Within(wantedLu, meter.LoudnessRangeLu, 1, $"signal {number}, LRA in LU");
    }

    /// <summary>BS.1770 knows no range for what is shorter than a short-term window: 0, never a number from nothing.</summary>
    [Fact]
    public void What_is_shorter_than_three_seconds_has_no_range()
    {
        var meter = new LoudnessMeter(2, EbuSignals.SampleRateHz);
        meter.Add(EbuSignals.Stereo(EbuSignals.SampleRateHz, (-20, 2.9)));
        Assert.Equal(0, meter.LoudnessRangeLu);
    }
}
