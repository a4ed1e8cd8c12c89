using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Studio.Tests;

/// <summary>Counters against a reel that is wound turn by turn: each turn is a circle one thickness farther out than the one before.</summary>
public sealed class CounterCurveTests
{
    /// <summary>Metres after each whole turn; the mean radius of a turn is half a thickness over where it began.</summary>
    private static double[] Wound(double radiusMm, double micrometres, int turns, bool up = true)
    {
        var metres = new double[turns + 1];
        for (var i = 1; i <= turns; i++)
            metres[i] = metres[i - 1] + 2 * Math.PI * (radiusMm + (up ? 1 : -1) * (i - 0.5) * micrometres / 1000) / 1000;
        return metres;
    }

    /// <summary>A C60's 85.7 m on a hub of 11 mm radius, 16 µm thick: turn by turn, within a hundredth of a millimetre (rounding of the sum).</summary>
    [Theory, InlineData(11, 16, 800, true), InlineData(24.9, 16, 700, false), InlineData(30, 50, 600, true)]
    public void A_reel_of_known_measures_is_told_turn_by_turn(double radiusMm, double micrometres, int turns, bool up)
    {
        var curve = CounterCurve.OfReel(radiusMm, micrometres, 0.5, up);
        var wound = Wound(radiusMm, micrometres, turns, up);
        for (var i = 1; i <= turns; i++)
        {
            Measured.Within(wound[i], curve.MetresAt(0.5 * i), 1e-5, $"metres after {i} turns");
            Measured.Within(0.5 * i, curve.CounterAt(wound[i])!.Value, 1e-6, $"counter after {i} turns");
        }
        if (!up)
            Assert.Null(curve.CounterAt(10 * wound[^1]));
    }

    [Theory, InlineData(true), InlineData(false)]
    public void Two_marks_tell_the_whole_reel(bool up)
    {
        var wound = Wound(25, 18, 700, up);
        var curve = CounterCurve.Fit([new(0.6 * 200, wound[200]), new(0.6 * 650, wound[650])]);
        for (var i = 1; i <= 700; i++)
            Measured.Within(wound[i], curve.MetresAt(0.6 * i), 1e-5, $"metres after {i} turns");
        var (counts, radius) = curve.Reel(18)!.Value;
        Measured.Within(0.6, counts, 1e-6, "counts a turn");
        Measured.Within(25, radius, 1e-4, "radius in mm");
        Measured.Within(0, curve.ResidualMetres, 1e-9, "residual in m");
    }

    /// <summary>Marks read to a whole count, with a thumb's 0.2 s at 4.76 cm/s: ten of them bring the middle of the tape within 2 cm and a half count.</summary>
    [Fact]
    public void Marks_that_are_a_little_off_are_averaged()
    {
        var random = new Random(2);
        var wound = Wound(11, 16, 800);
        var marks = Enumerable
            .Range(1, 10)
            .Select(i => new CounterMark(Math.Round(0.5 * 80 * i), wound[80 * i] + 0.2 * 0.047625 * (random.NextDouble() - 0.5)))
            .ToArray();
        var curve = CounterCurve.Fit(marks);
        for (var i = 200; i <= 800; i++)
            Measured.Within(wound[i], curve.MetresAt(0.5 * i), 0.02, "metres");
        Measured.AtMost(0.01, curve.ResidualMetres, "residual in m");
        Assert.Equal(400, curve.HighestCounter);
    }

    [Fact]
    public void One_mark_is_a_straight_line_and_none_or_contradicting_ones_are_refused()
    {
        var line = CounterCurve.Fit([new(100, 20)]);
        Measured.Within(10, line.MetresAt(50), 1e-12, "m");
        Measured.Within(50, line.CounterAt(10)!.Value, 1e-12, "counts");
        Assert.Null(line.Reel(16));
        Assert.Throws<Fault>(() => CounterCurve.Fit([]));
        Assert.Throws<Fault>(() => CounterCurve.Fit([new(100, 20), new(200, 15)]));
    }
}
