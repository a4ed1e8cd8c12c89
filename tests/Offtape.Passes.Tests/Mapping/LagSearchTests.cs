using Offtape.Passes.Mapping;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Mapping;

/// <summary>Checks that a path which was led astray is brought back, on a sound that is late by a known time in the middle, and that a good one is left alone.</summary>
public sealed class LagSearchTests
{
    private const double Rate = LagBench.RateHz;
    private const int Frames = 60 * 1024;

    /// <summary>Half a step of the search's grid of four points a sample is 5 µs; neighbours of the edges hold both.</summary>
    [Theory, InlineData(0.7e-3), InlineData(-0.7e-3), InlineData(1.2e-3)]
    public void A_path_that_is_off_is_brought_back(double offSeconds)
    {
        var sound = new SumOfPartials(21, 80, 200, 5000);
        var bench = new LagBench(sound.Sampled(Frames, Rate), 1e-3);
        var along = Captured(sound, t => t is > 1 and < 1.6 ? offSeconds : 0);
        bench.Solve(along);
        var shifts = new LagSearch().Find(bench.Sums, bench.Bands, bench.Solver, bench.Present, bench.Shaped, along, bench.Noise);
        Assert.NotNull(shifts);
        foreach (var k in bench.Inner)
        {
            var t = bench.SecondsOf(k);
            if (t is > 1.07 and < 1.53)
                Measured.Within(offSeconds, bench.Solver.Lag[k] + shifts[k], 6e-6, $"lag at {t:0.00} s");
            else if (t is < 0.9 or > 1.7)
                Assert.Equal(0, shifts[k]);
        }
    }

    [Theory, InlineData(0), InlineData(15e-6)]
    public void A_good_path_is_left_alone(double lagSeconds)
    {
        var sound = new SumOfPartials(22, 80, 200, 5000);
        var bench = new LagBench(sound.Sampled(Frames, Rate), 1e-3);
        var along = Captured(sound, _ => lagSeconds);
        bench.Solve(along);
        Assert.Null(new LagSearch().Find(bench.Sums, bench.Bands, bench.Solver, bench.Present, bench.Shaped, along, bench.Noise));
    }

    /// <summary>Another sound altogether has no place: no nearest guess is made of it.</summary>
    [Fact]
    public void Another_sound_is_not_followed()
    {
        var bench = new LagBench(new SumOfPartials(23, 80, 200, 5000).Sampled(Frames, Rate), 1e-3);
        var along = Captured(new SumOfPartials(24, 80, 200, 5000), _ => 0);
        bench.Solve(along);
        Assert.Null(new LagSearch().Find(bench.Sums, bench.Bands, bench.Solver, bench.Present, bench.Shaped, along, bench.Noise));
    }

    private static float[] Captured(SumOfPartials sound, Func<double, double> late)
    {
        var along = sound.Sampled(Frames, Rate, t => t - late(t));
        LagBench.AddNoise(along, 25, 1e-3);
        return along;
    }
}
