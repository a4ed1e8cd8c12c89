using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Tape.Tests;

/// <summary>
/// Checks the time map against curves known by formula. No expected value comes from the map's own code. Tolerances: the error of a cubic
/// through exact knots with exact slopes, A·u⁴/384 with u = 2πfh (C. de Boor, A Practical Guide to Splines, chapter IV: h⁴/384·max|g⁗|),
/// plus a quarter of h times the slope error of the seven-point difference (A·2πf·u⁶/140 in the middle of its knots, /7 at an end; the
/// remainder of polynomial interpolation); where only rounding is at work, a few units in the last place.
/// </summary>
public sealed class TimeMapTests
{
    private const double LastPlaces = 1e-12;

    /// <summary>Wow and flutter of realistic size: 0.1 % peak at each frequency, displacement A = 0.001/(2πf).</summary>
    [Theory]
    [InlineData(0.5, 0.005)]
    [InlineData(6, 0.005)]
    [InlineData(25, 0.005)]
    [InlineData(40, 0.005)]
    [InlineData(60, 0.002)]
    [InlineData(100, 0.002)]
    public void A_wobbling_map_is_reproduced_between_its_knots(double wobbleHz, double stepSeconds)
    {
        var amplitude = 0.001 / (2 * Math.PI * wobbleHz);
        double Truth(double t) => 1.5 + t / 1.003 + amplitude * Math.Sin(2 * Math.PI * wobbleHz * t + 0.3);
        var map = Sampled(Truth, 0, 4, stepSeconds);
        var (inside, atEnds) = (0.0, 0.0);
        for (var t = 0.0; t < 4; t += 0.000317)
        {
            var error = Math.Abs(map.CaptureAt(t) - Truth(t));
            if (t > 3 * stepSeconds && t < 4 - 3 * stepSeconds)
                inside = Math.Max(inside, error);
            else
                atEnds = Math.Max(atEnds, error);
        }
        var u = 2 * Math.PI * wobbleHz * stepSeconds;
        Measured.AtMost(LastPlaces + amplitude * (Math.Pow(u, 4) / 384 + Math.Pow(u, 6) / 560), inside, "worst error, seconds");
        Measured.AtMost(LastPlaces + amplitude * (Math.Pow(u, 4) / 384 + Math.Pow(u, 6) / 28), atEnds, "worst error at the ends, seconds");
        Measured.AtMost(1e-7, inside, "worst error against the promised tenth of a microsecond");
    }

    [Fact]
    public void Knots_come_back_as_they_were_given()
    {
        var map = Sampled(t => 3 + t + 0.001 * Math.Sin(7 * t), -2, 5, 0.01);
        for (var i = 0; i < map.KnotCount; i++)
        {
            Assert.Equal(map.CaptureSeconds[i], map.CaptureAt(map.SourceSeconds[i]));
            Measured.Within(map.SourceSeconds[i], map.SourceAt(map.CaptureSeconds[i]), LastPlaces, "source second");
        }
    }

    [Fact]
    public void A_straight_map_is_exactly_straight_and_goes_on_straight()
    {
        var map = TimeMap.Constant(12.25, 1.0031, 60);
        foreach (var t in new[] { -30.0, -0.001, 0, 0.5, 17.3, 59.999, 60, 95 })
        {
            Measured.Within(12.25 + 1.0031 * t, map.CaptureAt(t), LastPlaces * 10, "capture second");
            Measured.Within(t, map.SourceAt(12.25 + 1.0031 * t), LastPlaces * 10, "source second");
            Measured.Within(1.0031, map.RateAt(t), LastPlaces, "rate");
        }
        Measured.Within(1.0031, map.MeanRate, LastPlaces);
        Assert.False(map.IsReversed);
    }

    [Fact]
    public void A_falling_map_is_as_good_as_a_rising_one()
    {
        double Truth(double t) => 40 - 0.5 * t - 0.0004 * Math.Sin(2 * Math.PI * 0.7 * t);
        var map = Sampled(Truth, 1, 21, 0.005);
        Assert.True(map.IsReversed);
        for (var t = 1.0; t < 21; t += 0.0173)
        {
            Measured.Within(Truth(t), map.CaptureAt(t), 1e-9, "capture second");
            Measured.Within(t, map.SourceAt(Truth(t)), 2e-9, "source second");
        }
        Measured.Within(-0.5, map.MeanRate, 1e-4);
    }

    /// <summary>Slope of 10 + t + A·sin(2πft): 1 + 2πfA·cos. Tolerance: the slope error of a cubic, of order (2πfh)³ of the wobble.</summary>
    [Fact]
    public void The_rate_is_the_slope_of_the_curve()
    {
        const double f = 3;
        const double a = 0.002 / (2 * Math.PI * f);
        var map = Sampled(t => 10 + t + a * Math.Sin(2 * Math.PI * f * t), 0, 5, 0.005);
        for (var t = 0.02; t < 4.98; t += 0.0137)
            Measured.Within(1 + 0.002 * Math.Cos(2 * Math.PI * f * t), map.RateAt(t), 0.002 * 1e-3, "rate");
    }

    /// <summary>A stop of two seconds between two knots: the map must not swing before or after it.</summary>
    [Fact]
    public void A_stop_does_not_ring_and_never_turns_back()
    {
        var source = Enumerable.Range(0, 401).Select(i => i * 0.005).ToArray();
        var capture = source.Select(t => t + (t > 1.0001 ? 2 : 0)).ToArray();
        var map = new TimeMap(source, capture);
        var before = double.NegativeInfinity;
        for (var t = 0.0; t < 2; t += 0.0001)
        {
            var here = map.CaptureAt(t);
            Assert.True(here > before, $"turned back at {t}");
            before = here;
            if (t is < 0.99 or > 1.02)
                Measured.Within(t + (t > 1.0001 ? 2 : 0), here, LastPlaces, "capture second away from the stop");
        }
        Measured.Within(1.25, map.SourceAt(3.25), LastPlaces);
    }

    [Fact]
    public void Any_strictly_monotonic_knots_give_a_monotonic_curve_with_an_inverse()
    {
        var random = new Random(3);
        for (var trial = 0; trial < 300; trial++)
        {
            var count = random.Next(2, 12);
            var (source, capture) = (new double[count], new double[count]);
            var sign = random.Next(2) * 2 - 1;
            for (var i = 1; i < count; i++)
            {
                source[i] = source[i - 1] + Math.Pow(10, random.NextDouble() * 4 - 3);
                // Every second trial has slopes that are nearly alike on knots that are not: there the polynomial through them swings most.
                var step =
                    trial % 2 == 0
                        ? Math.Pow(10, random.NextDouble() * 4 - 3)
                        : (source[i] - source[i - 1]) * (1 + 0.4 * random.NextDouble());
                capture[i] = capture[i - 1] + sign * step;
            }
            var map = new TimeMap(source, capture);
            var before = map.CaptureAt(source[0]);
            for (var i = 1; i <= 400; i++)
            {
                var s = source[0] + (source[^1] - source[0]) * i / 400;
                var c = map.CaptureAt(s);
                Measured.AtLeast(-1e-12, sign * (c - before), "step of the curve");
                before = c;
                // Where the curve is flat, its inverse is steep: judge the inverse by the capture second it leads to.
                Measured.Within(c, map.CaptureAt(map.SourceAt(c)), 1e-9, "capture second after inverse");
            }
        }
    }

    [Fact]
    public void Many_at_once_equals_one_by_one()
    {
        foreach (var sign in new[] { 1, -1 })
        {
            var map = Sampled(t => sign * (t + 0.01 * Math.Sin(t)), 0, 10, 0.05);
            var many = new double[3000];
            map.CaptureAt(-1, 0.004, many);
            for (var i = 0; i < many.Length; i++)
                Assert.Equal(map.CaptureAt(-1 + i * 0.004), many[i]);
            var backwards = new double[3000];
            map.CaptureAt(11, -0.004, backwards);
            for (var i = 0; i < many.Length; i++)
                Assert.Equal(map.CaptureAt(11 + i * -0.004), backwards[i]);
        }
    }

    [Fact]
    public void A_composed_map_leads_through_both()
    {
        double First(double t) => 5 + 1.002 * t + 0.0003 * Math.Sin(9 * t);
        double Second(double t) => 100 - 0.97 * t + 0.0002 * Math.Cos(5 * t);
        var both = Sampled(Second, 0, 40, 0.004).Compose(Sampled(First, 0, 20, 0.005));
        Assert.True(both.IsReversed);
        for (var t = 0.0; t <= 20; t += 0.0211)
            Measured.Within(Second(First(t)), both.CaptureAt(t), 1e-8, "capture second");
    }

    [Fact]
    public void Composed_uncertainty_adds_as_independent_errors()
    {
        var inner = new TimeMap([0, 10], [0, 20], [0.003, 0.003]);
        var outer = new TimeMap([0, 20], [0, 10], [0.004, 0.004]);
        // √(0.004² + (½·0.003)²)
        Measured.Within(Math.Sqrt(0.004 * 0.004 + 0.0015 * 0.0015), outer.Compose(inner).SigmaSeconds[0], 1e-15);
    }

    [Theory, InlineData(1), InlineData(-1)]
    public void An_inverse_undoes_its_map(int sign)
    {
        var map = Sampled(t => sign * (7 + 1.01 * t + 0.0005 * Math.Sin(4 * t)), 0, 30, 0.005);
        var inverse = map.Inverse();
        for (var t = 0.0; t <= 30; t += 0.0177)
            Measured.Within(t, inverse.CaptureAt(map.CaptureAt(t)), 1e-9, "source second");
    }

    [Fact]
    public void Knots_out_of_order_are_refused()
    {
        Assert.Throws<ArgumentException>(() => new TimeMap([0], [0]));
        Assert.Throws<ArgumentException>(() => new TimeMap([0, 1, 1], [0, 1, 2]));
        Assert.Throws<ArgumentException>(() => new TimeMap([0, 1, 2], [0, 1, 0.5]));
        Assert.Throws<ArgumentException>(() => new TimeMap([0, 1, 2], [0, 1, 1]));
        Assert.Throws<ArgumentException>(() => new TimeMap([0, 1], [0, double.NaN]));
        Assert.Throws<ArgumentException>(() => new TimeMap([0, 1], [0, 1], [0, -1]));
        Assert.Throws<ArgumentException>(() => new TimeMap([0, 1], [0, 1, 2]));
    }

    [Fact]
    public void Saved_text_reads_back_to_the_same_numbers()
    {
        var random = new Random(8);
        var source = new double[4000];
        var capture = new double[4000];
        var sigma = new double[4000];
        for (var i = 1; i < source.Length; i++)
        {
            source[i] = source[i - 1] + random.NextDouble() + 1e-9;
            capture[i] = capture[i - 1] - random.NextDouble() * Math.Pow(10, random.Next(-6, 3)) - 1e-9;
            sigma[i] = random.NextDouble() * Math.Pow(10, random.Next(-300, 6));
        }
        sigma[7] = double.Epsilon;
        sigma[8] = 4_503_599_627_370_497.5;
        var back = TimeMapJson.Parse(new TimeMap(source, capture, sigma).ToJson(), "map.json");
        Assert.Equal(source, back.SourceSeconds);
        Assert.Equal(capture, back.CaptureSeconds);
        Assert.Equal(sigma, back.SigmaSeconds);
    }

    [Theory]
    [InlineData("0.0000123", 3, "0.0123")]
    [InlineData("1.5E-05", 3, "0.015")]
    [InlineData("12", 3, "12000")]
    [InlineData("12.3456", 3, "12345.6")]
    [InlineData("12000", -3, "12")]
    [InlineData("0", 3, "0")]
    [InlineData("1e-12", -3, "1E-15")]
    [InlineData("250e0", -3, "0.25")]
    public void Decimal_points_move_by_digits(string number, int places, string wanted) =>
        Assert.Equal(wanted, TimeMapJson.ShiftDecimal(number, places));

    [Theory]
    [InlineData("no json at all")]
    [InlineData("[1, 2]")]
    [InlineData("{\"sourceSeconds\":[0,1]}")]
    [InlineData("{\"sourceSeconds\":[0,1],\"captureSeconds\":[0]}")]
    [InlineData("{\"sourceSeconds\":[0,1],\"captureSeconds\":[0,\"1\"]}")]
    [InlineData("{\"sourceSeconds\":[1,0],\"captureSeconds\":[0,1]}")]
    [InlineData("{\"sourceSeconds\":[0,1],\"captureSeconds\":[0,1e999]}")]
    [InlineData("{\"sourceSeconds\":[0,1],\"captureSeconds\":[0,1],\"sigmaMilliseconds\":[0,-1]}")]
    [InlineData("{\"sourceSeconds\":[0,1],\"captureSeconds\":[0,1],\"sigmaMilliseconds\":[0,1e99999999999]}")]
    [InlineData("{\"sourceSeconds\":{},\"captureSeconds\":[0,1]}")]
    public void A_file_that_holds_no_time_map_is_a_fault_of_that_file(string json)
    {
        var fault = Assert.Throws<Fault>(() => TimeMapJson.Parse(json, "return.json"));
        Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
        Assert.Equal("return.json", fault.File);
        Assert.DoesNotContain('\n', fault.Message);
    }

    internal static TimeMap Sampled(Func<double, double> truth, double from, double to, double step)
    {
        var count = (int)Math.Round((to - from) / step) + 1;
        var source = new double[count];
        var capture = new double[count];
        for (var i = 0; i < count; i++)
        {
            source[i] = from + i * step;
            capture[i] = truth(source[i]);
        }
        return new TimeMap(source, capture);
    }
}
