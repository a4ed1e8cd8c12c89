using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Studio.Tests;

/// <summary>Attenuators in resistors that can be bought.</summary>
public sealed class AttenuatorTests
{
    /// <summary>
    /// The divider by Kirchhoff's laws, solved node by node for one volt: the current through the series resistor is that through shunt and load
    /// together. E24 steps are 10 % apart, so a value is off by at most 5 %, 0.5 dB of attenuation.
    /// </summary>
    [Theory]
    [InlineData(20, 150, 10_000)]
    [InlineData(24, 2_200, 20_000)]
    [InlineData(28, 150, 20_000)]
    [InlineData(36, 150, 47_000)]
    [InlineData(12, 600, 22_000)]
    public void A_divider_takes_what_it_says_off(double decibels, double sourceOhms, double loadOhms)
    {
        var made = Attenuators.Divider(decibels, sourceOhms, loadOhms)!;
        var (series, shunt) = (made.SeriesOhms, made.ShuntOhms!.Value);
        // (1 − v) ÷ (source + series) = v ÷ shunt + v ÷ load
        var volts = 1 / (sourceOhms + series) / (1 / (sourceOhms + series) + 1 / shunt + 1 / loadOhms);
        Measured.Within(-20 * Math.Log10(volts), made.AttenuationDb, 1e-9, "dB");
        Measured.Within(decibels, made.AttenuationDb, 0.5, "dB");
    }

    /// <summary>316 mV through 330 kΩ into 20 kΩ: 18 mV, one and a half microampere less than one.</summary>
    [Fact]
    public void One_resistor_in_the_plug_makes_a_line_into_a_DIN_record_line()
    {
        var made = Attenuators.InLine(24, 150, 20_000)!;
        Assert.Equal(300_000, made.SeriesOhms);
        Assert.Null(made.ShuntOhms);
        Measured.Within(20 * Math.Log10((300_000 + 150 + 20_000) / 20_000.0), made.AttenuationDb, 1e-9, "dB");
    }

    /// <summary>f = 1 ÷ (2π·R·C): 320 kΩ over 20 kΩ with 300 pF, against 10 kΩ over 680 Ω.</summary>
    [Fact]
    public void A_divider_keeps_the_treble_that_a_single_resistor_far_from_the_plug_loses()
    {
        const double farads = 300e-12;
        var single = Attenuators.InLine(24, 150, 20_000)!;
        var divider = Attenuators.Divider(24, 150, 20_000)!;
        Measured.Within(1 / (2 * Math.PI * (1 / (1 / 300_150.0 + 1 / 20_000.0)) * farads), single.CornerHz(farads), 1e-6, "Hz");
        Assert.True(divider.CornerHz(farads) > 20 * single.CornerHz(farads) / 2);
    }

    /// <summary>IEC 60063, series E24.</summary>
    [Theory]
    [InlineData(317_000, 330_000)]
    [InlineData(984, 1_000)]
    [InlineData(95.9, 100)]
    [InlineData(701, 680)]
    public void The_nearest_value_is_one_of_E24(double ohms, double nearest) =>
        Measured.Within(nearest, Attenuators.NearestE24(ohms), 1e-6, "Ω");

    [Fact]
    public void Advice_for_a_DIN_record_line_names_the_resistors()
    {
        var line = SocketWords.Parse("line-out:rca:1:-10:ohms=150").Lanes(Flow.Out).First().Lane;
        var recorder = SocketWords.Parse("tape-din:din5:2").Lanes(Flow.In).First().Lane;
        var hazard = LaneRules.Judge(line, recorder, new LaneFacts(), false).Single(h => h.Code == HazardCode.DinRecordTooHot);
        Assert.Contains("10 kΩ in line", hazard.Advice, StringComparison.Ordinal);
        Assert.Contains("300 kΩ in line inside the DIN plug", hazard.Advice, StringComparison.Ordinal);
    }
}
