using Offtape.Base;

namespace Offtape.Bench.Tests.Speed;

/// <summary>Parts that somebody has measured, as they are written.</summary>
public sealed class KnownPartWordsTests
{
    [Theory]
    [InlineData("capstan=2.4mm", TurningPart.Capstan, 2.4, null)]
    [InlineData(" Pinch-Roller = 12 mm", TurningPart.PinchRoller, 12.0, null)]
    [InlineData("belt=4.2Hz", TurningPart.Belt, null, 4.2)]
    public void A_part_has_a_diameter_or_turns(string text, TurningPart part, double? mm, double? turns) =>
        Assert.Equal(new KnownPart(part, mm, turns), KnownPartWords.Parse(text));

    [Theory]
    [InlineData("wheel=3mm", "wheel")]
    [InlineData("idler=3", "no size")]
    [InlineData("idler=-3mm", "no size")]
    [InlineData("idler=NaNmm", "no size")]
    [InlineData("idler", "no size")]
    [InlineData("=", "names no")]
    public void What_is_no_part_or_no_size_is_refused_in_words(string text, string said)
    {
        var fault = Assert.Throws<Fault>(() => KnownPartWords.Parse(text));
        Assert.Equal(ExitCode.Usage, fault.ExitCode);
        Assert.Contains(said, fault.Message, StringComparison.Ordinal);
    }
}
