namespace Offtape.Report.Tests;

/// <summary>Numbers as they are printed, against examples written by hand.</summary>
public sealed class QuantityTests
{
    private const string Thin = "\u2009";

    [Theory]
    [InlineData(12.345678, 6, "s", "12.345" + Thin + "678" + Thin + "s")]
    [InlineData(0.5, 1, "", "0.5")]
    [InlineData(1234.5678, 4, "", "1234.5678")]
    [InlineData(12345, 0, "Hz", "12" + Thin + "345" + Thin + "Hz")]
    [InlineData(1234567.25, 2, "", "1" + Thin + "234" + Thin + "567.25")]
    [InlineData(-52.3, 1, "dBFS", "\u221252.3" + Thin + "dBFS")]
    [InlineData(-123456, 0, "", "\u2212123" + Thin + "456")]
    [InlineData(double.NegativeInfinity, 1, "dBFS", "\u2212∞" + Thin + "dBFS")]
    public void Numbers_are_grouped_and_carry_their_unit(double value, int decimals, string unit, string wanted) =>
        Assert.Equal(wanted, Quantity.Of(value, decimals, unit));

    [Fact]
    public void Differences_carry_their_sign() => Assert.Equal("+0.31" + Thin + "%", Quantity.Signed(0.31, 2, "%"));

    [Theory]
    [InlineData(8.312447, 6, "0:08.312" + Thin + "447")]
    [InlineData(59.9996, 3, "1:00.000")]
    [InlineData(59.9994, 3, "0:59.999")]
    [InlineData(-1.5, 1, "\u22120:01.5")]
    [InlineData(-0.01, 1, "0:00.0")]
    [InlineData(3599.999, 0, "1:00:00")]
    [InlineData(3725, 0, "1:02:05")]
    [InlineData(0.1, 9, "0:00.100" + Thin + "000" + Thin + "000")]
    public void Times_read_as_on_a_clock(double seconds, int decimals, string wanted) =>
        Assert.Equal(wanted, Quantity.Clock(seconds, decimals));
}
