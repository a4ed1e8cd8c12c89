namespace Offtape.Bench.Tests.Distortion;

/// <summary>
/// Checks the uncertainty of what is stated only above a border by trying it: a truth, normal noise about it, and of the values that get over the
/// border how many hold the truth.
/// </summary>
public sealed class DetectedTests
{
    /// <summary>
    /// 95 of 100 are promised; the interval is one-sided below, so that up to 97.5 hold it. Of 2000 stated ones 93 leaves four standard deviations.
    /// Without the border's part 0 hold it for a truth of two and a half deviations.
    /// </summary>
    [Theory, InlineData(1.5), InlineData(2.5), InlineData(4.0), InlineData(5.0), InlineData(8.0)]
    public void What_gets_over_the_border_holds_the_truth(double truth)
    {
        const double border = 4;
        var random = new Random(7);
        var (stated, held) = (0, 0);
        while (stated < 2000)
        {
            // Far below the border hardly anything gets over it: normal values beyond a place are drawn by their own tail.
            var value = truth + Math.Max(0, border - truth) - Math.Log(random.NextDouble()) / Math.Max(1, border - truth);
            if (border - truth < 0.5)
                value = truth + MachineByHand.Normal(random);
            else if (random.NextDouble() > Math.Exp(-0.5 * Math.Pow(value - truth - Math.Max(1, border - truth), 2)))
                continue;
            if (value <= border)
                continue;
            stated++;
            held += Math.Abs(value - truth) <= Detected.Expanded(value, 1, border) ? 1 : 0;
        }
        Assert.InRange(held / (double)stated, 0.93, 1);
    }

    [Fact]
    public void Far_above_the_border_it_is_two_standard_deviations() => Assert.Equal(0.2, Detected.Expanded(30, 0.1, 0.4), 1e-9);

    [Fact]
    public void Just_above_it_the_truth_may_be_nothing_at_all() => Assert.InRange(Detected.Expanded(4.001, 1, 4), 3.9, 4.001);
}
