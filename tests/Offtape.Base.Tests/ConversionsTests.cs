using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Base.Tests;

/// <summary>Checks unit conversions against closed-form values and published constants.</summary>
public sealed class ConversionsTests
{
    /// <summary>+4 dBu and −10 dBV stand 11.78 dB apart: 20·log10(√0.6·10^0.2 / 10^−0.5), by arithmetic from the definitions of dBu and dBV.</summary>
    [Fact]
    public void Plus_4_dBu_stands_11_78_dB_over_minus_10_dBV()
    {
        var difference = Conversions.AmplitudeToDb(Conversions.DbuToVolts(4) / Conversions.DbvToVolts(-10));
        Measured.Within(11.7815, difference, 0.00005, "dB");
        Measured.Within(1.227653, Conversions.DbuToVolts(4), 0.0000005, "V");
        Measured.Within(2.2185, Conversions.VoltsToDbu(1), 0.00005, "dBu");
    }

    /// <summary>1200·log2 of the ratio, to the digits a pocket calculator prints.</summary>
    [Theory]
    [InlineData(0.1, 1.730)]
    [InlineData(0.5, 8.635)]
    [InlineData(1, 17.226)]
    [InlineData(3, 51.173)]
    public void Speed_error_in_cents(double percent, double cents) =>
        Measured.Within(cents, Conversions.RatioToCents(Conversions.PercentToRatio(percent)), 0.0005, "cents");

    [Fact]
    public void Silence_is_minus_infinity() => Assert.Equal(double.NegativeInfinity, Conversions.AmplitudeToDb(0));

    [Theory]
    [InlineData(-52.34, 1, "−52.3")]
    [InlineData(-0.04, 1, "0.0")]
    [InlineData(double.NegativeInfinity, 1, "−∞")]
    public void Numbers_carry_a_true_minus_sign(double value, int decimals, string text) =>
        Assert.Equal(text, Words.Number(value, decimals));

    [Theory]
    [InlineData(62.3449, "1:02.345")]
    [InlineData(-0.5, "−0:00.500")]
    [InlineData(3723.5, "1:02:03.500")]
    [InlineData(59.9996, "1:00.000")]
    public void Clock_times_carry_over(double seconds, string text) => Assert.Equal(text, Words.Clock(seconds));
}
