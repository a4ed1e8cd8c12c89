using Offtape.Base;
using Offtape.Web.Taping;

namespace Offtape.Web.Tests.Taping;

/// <summary>Lengths of time as they are typed; an hour is 60 minutes of 60 seconds.</summary>
public sealed class TypedTimeTests
{
    [Theory]
    [InlineData("95", 95)]
    [InlineData("95 s", 95)]
    [InlineData(" 3:20 ", 200)]
    [InlineData("1:02:03.5", 3723.5)]
    [InlineData("2.5 min", 150)]
    [InlineData("2,5min", 150)]
    [InlineData("0", 0)]
    [InlineData("24:00:00", 86_400)]
    public void Is_understood(string text, double seconds) => Assert.Equal(seconds, TypedTime.TryParse(text)!.Value, 1e-9);

    [Theory]
    [InlineData("")]
    [InlineData("soon")]
    [InlineData("-5")]
    [InlineData("3:60")]
    [InlineData("3:99")]
    [InlineData("1.5:20")]
    [InlineData("1:2:3:4")]
    [InlineData("3:20 min")]
    [InlineData("1e9")]
    [InlineData("NaN")]
    [InlineData("25:00:00")]
    public void Is_not_understood(string text) => Assert.Null(TypedTime.TryParse(text));

    [Fact]
    public void Lines_are_names_and_lengths()
    {
        var sounds = TypedTime.Lines("bowed glass 3:20\n\n 95\r\nlow pulse 2: 2.5 min\ntake 3  10 s");
        Assert.Equal([("bowed glass", 200.0), ("sound 2", 95.0), ("low pulse 2", 150.0), ("take 3", 10.0)], sounds);
        var fault = Assert.Throws<Fault>(() => TypedTime.Lines("bowed glass 3:20\nmarimba"));
        Assert.Contains("Line 2, \"marimba\"", fault.Message, StringComparison.Ordinal);
        Assert.Throws<Fault>(() => TypedTime.Lines("nothing 0"));
    }
}
