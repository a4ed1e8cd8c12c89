using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Studio.Tests;

/// <summary>Levels and impedances against published values. Tolerances are the last printed digit.</summary>
public sealed class LevelTests
{
    [Fact]
    public void Professional_line_is_1_2277_V_and_consumer_line_0_3162_V()
    {
        Measured.Within(1.22765, Conversions.DbuToVolts(SignalStandards.Professional.NominalDbu), 5e-6, "V");
        Measured.Within(0.316228, Conversions.DbuToVolts(SignalStandards.Consumer.NominalDbu), 5e-7, "V");
        Measured.Within(11.78, SignalStandards.Professional.NominalDbu - SignalStandards.Consumer.NominalDbu, 0.01, "dB");
    }

    /// <summary>IEC 61938: 0.5 V; outputs at most 2.2 kΩ; inputs at least 22 kΩ that take 2.8 V.</summary>
    [Fact]
    public void A_hi_fi_line_is_that_of_IEC_61938()
    {
        var line = SignalStandards.HiFi;
        Measured.Within(0.5, Conversions.DbuToVolts(line.NominalDbu), 1e-9, "V");
        Measured.Within(2.8, Conversions.DbuToVolts(line.InputMaximumDbu), 1e-9, "V");
        Assert.Equal((2200, 22000), (line.OutputOhms, line.InputOhms));
    }

    /// <summary>A DIN record output gives 1 mV for each kΩ of load (R. Mudhar).</summary>
    [Theory]
    [InlineData("10k", 10)]
    [InlineData("20k", 20)]
    [InlineData("47k", 47)]
    [InlineData("100k", 100)]
    public void A_DIN_record_line_is_one_millivolt_for_each_kilohm(string ohms, double millivolts)
    {
        var recorder = SocketWords.Parse($"tape-din:din5:2:ohms={ohms}").Lanes(Flow.In).First().Lane;
        var amplifier = SocketWords.Parse("amp-din:din5:2").Lanes(Flow.Out).First().Lane;
        Measured.Within(millivolts / 1e3, Conversions.DbuToVolts(recorder.NominalDbu), 1e-9, "V wanted");
        Measured.Within(millivolts / 1e3, Conversions.DbuToVolts(amplifier.LevelIntoDbu(recorder.Ohms)), 1e-9, "V given");
    }

    /// <summary>Line level into a DIN record line is 20 to 30 dB too hot: R. Mudhar, for 10 to 47 kΩ and lines of −10 dBV and 0.5 V.</summary>
    [Theory]
    [InlineData("-10", "10k", 30.0)]
    [InlineData("-10", "20k", 24.0)]
    [InlineData("hifi", "20k", 28.0)]
    [InlineData("hifi", "47k", 20.5)]
    public void Line_level_is_20_to_30_dB_too_hot_for_a_DIN_record_line(string standard, string ohms, double decibels)
    {
        var line = SocketWords.Parse($"line-out:rca:1:{standard}:ohms=1").Lanes(Flow.Out).First().Lane;
        var recorder = SocketWords.Parse($"tape-din:din5:2:ohms={ohms}").Lanes(Flow.In).First().Lane;
        Measured.Within(decibels, LaneRules.MismatchDb(line, recorder, new LaneFacts()), 0.05, "dB");
        Assert.Contains(LaneRules.Judge(line, recorder, new LaneFacts(), false), h => h.Code == HazardCode.DinRecordTooHot);
    }

    /// <summary>XLR: 1 shield, 2 hot, 3 cold (AES14 as Rane Note 151 tells it).</summary>
    [Fact]
    public void Pin_2_is_hot()
    {
        var lane = SocketWords.Parse("line-out:xlr:1").Lanes(Flow.Out).Single().Lane;
        Assert.Equal(("2", "3", "1"), (lane.Hot, lane.Cold, lane.Ground));
    }

    [Theory]
    [InlineData("4dBu", 4)]
    [InlineData("−10 dBV", -7.7815)]
    [InlineData("0.775V", 0.0045)]
    [InlineData("316.2278 mV", -7.7815)]
    public void Levels_are_read_as_people_write_them(string text, double dbu) =>
        Measured.Within(dbu, LevelWords.ParseDbu(text)!.Value, 1e-4, "dBu");

    [Theory]
    [InlineData("4")]
    [InlineData("loud")]
    [InlineData("-1V")]
    [InlineData("1e400dBu")]
    public void What_is_no_level_is_none(string text) => Assert.Null(LevelWords.ParseDbu(text));
}
