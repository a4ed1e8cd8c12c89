using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>
/// Checks the smoother against the same Gaussian model written out whole (<see cref="DenseWander"/>), and its statistics on points drawn
/// from the model.
/// </summary>
public sealed class WanderSmootherTests
{
    private const double Step = 0.02;

    // A fair machine in seconds, and the same in units where nothing is small: the arithmetic differs, the formula does not.
    private static readonly WanderModel Fair = new(3e-7, 6e-6, 0.1);
    private static readonly WanderModel Rough = new(1e-3, 3e-4, 0.05);

    /// <summary>
    /// Mean against its own deviation, and deviation relative: 1e-6 both. A double holds 1e-16 of the wide start of 0.1 s squared, which is
    /// 1e-6 of a microsecond squared: the first points are the hardest.
    /// </summary>
    [Theory]
    [InlineData(1, false)]
    [InlineData(2, false)]
    [InlineData(3, true)]
    public void Mean_and_deviation_are_those_of_the_whole_Gaussian(ulong seed, bool isFair)
    {
        var (model, breaks) = (isFair ? Fair : Rough, Breaks(70));
        var draw = Draw(seed, 70, isFair);
        var dense = new DenseWander(draw.Values, draw.Information, Step, model, breaks);
        var (smooth, sigma) = Fit(new WanderSmoother(), draw, model, breaks);
        for (var i = 0; i < smooth.Length; i++)
        {
            var (mean, deviation) = dense.At(i);
            Measured.Within(0, (smooth[i] - mean) / deviation, 1e-6, $"mean at {i} in deviations");
            Measured.Within(1, sigma[i] / deviation, 1e-6, $"deviation at {i}");
        }
    }

    /// <summary>Of all points after the first two, given those; tolerance: 70 terms of size 10 to 1e-8, the start's rounding as above.</summary>
    [Theory]
    [InlineData(4, false, 1e-7)]
    [InlineData(5, true, 1e-4)]
    public void Likelihood_is_that_of_the_whole_Gaussian(ulong seed, bool isFair, double tolerance)
    {
        var model = isFair ? Fair : Rough;
        var draw = Draw(seed, 70, isFair);
        var smoother = new WanderSmoother();
        foreach (
            var trial in new[]
            {
                model,
                model with
                {
                    WalkNoise = 10 * model.WalkNoise,
                },
                model with
                {
                    Tremble = model.Tremble / 3,
                },
                model with
                {
                    TrembleSeconds = 0.2,
                },
            }
        )
        {
            var wanted = new DenseWander(draw.Values, draw.Information, Step, trial, []).LogLikelihoodAfterTwo();
            Measured.Within(wanted, smoother.LogLikelihood(draw.Values, draw.Information, Step, trial, []), tolerance, trial.ToString());
        }
    }

    /// <summary>n squares of unit Gaussians have mean 1 and deviation √(2/n): four of them, for each of eight seeds.</summary>
    [Fact]
    public void Misfit_is_one_on_points_of_the_model()
    {
        const int count = 2000;
        var smoother = new WanderSmoother();
        for (ulong seed = 10; seed < 18; seed++)
        {
            var draw = WanderDraw.Of(seed, count, Step, Fair, i => i % 3 == 0 ? 2e-6 : 15e-6);
            smoother.LogLikelihood(draw.Values, draw.Information, Step, Fair, []);
            Measured.Within(1, smoother.Misfit, 4 * Math.Sqrt(2.0 / count), $"misfit, seed {seed}");
            // And four times as much where each point states half its deviation and the model is as tight.
            var boast = Array.ConvertAll(draw.Information, x => 4 * x);
            var tight = Fair with { WalkNoise = Fair.WalkNoise / 4, Tremble = Fair.Tremble / 2 };
            smoother.LogLikelihood(draw.Values, boast, Step, tight, []);
            Measured.Within(4, smoother.Misfit, 16 * Math.Sqrt(2.0 / count), $"misfit of a boast, seed {seed}");
        }
    }

    /// <summary>
    /// Errors over their stated deviation, over the points of 20 takes. Neighbours share their error: some 300 of the 20 × 500 are free, so
    /// 17 % is four deviations of the mean square.
    /// </summary>
    [Fact]
    public void Stated_deviation_is_that_of_the_error()
    {
        var (sum, count) = (0.0, 0);
        for (ulong seed = 20; seed < 40; seed++)
        {
            var draw = WanderDraw.Of(seed, 500, Step, Fair, i => i % 50 < 20 ? double.PositiveInfinity : 8e-6);
            var (smooth, sigma) = Fit(new WanderSmoother(), draw, Fair, []);
            for (var i = 0; i < smooth.Length; i++)
                (sum, count) = (sum + Math.Pow((smooth[i] - draw.Truth[i]) / sigma[i], 2), count + 1);
        }
        Measured.Within(1, sum / count, 0.34, "mean square of error over deviation");
    }

    /// <summary>Where nothing is measured the deviation grows with distance from what is, and the curve is finite.</summary>
    [Fact]
    public void In_silence_the_deviation_grows_with_distance()
    {
        const int count = 300;
        var draw = WanderDraw.Of(50, count, Step, Fair, i => i is >= 60 and < 140 or >= 200 ? double.PositiveInfinity : 4e-6);
        var (_, sigma) = Fit(new WanderSmoother(), draw, Fair, []);
        for (var i = 61; i < 100; i++)
            Assert.True(sigma[i] > sigma[i - 1], $"smaller at {i} than before");
        for (var i = 101; i < 140; i++)
            Assert.True(sigma[i] < sigma[i - 1], $"larger at {i} than before");
        for (var i = 201; i < count; i++)
            Assert.True(sigma[i] > sigma[i - 1], $"smaller at {i} than before");
        // Long after the last sound the slope's doubt and walk rule: σ² → q·t³/3 at least.
        var away = (count - 1 - 199) * Step;
        Measured.AtLeast(Math.Sqrt(Fair.WalkNoise * away * away * away / 3), sigma[^1], "deviation at the end");
    }

    [Fact]
    public void Used_again_it_is_as_new()
    {
        var (draw, other) = (Draw(60, 200, true), Draw(61, 333, true));
        var used = new WanderSmoother();
        Fit(used, other, Rough, Breaks(333));
        var (again, againSigma) = Fit(used, draw, Fair, []);
        var (fresh, freshSigma) = Fit(new WanderSmoother(), draw, Fair, []);
        Assert.Equal(fresh, again);
        Assert.Equal(freshSigma, againSigma);
    }

    [Fact]
    public void In_place_is_out_of_place()
    {
        var draw = Draw(62, 200, true);
        var (smooth, sigma) = Fit(new WanderSmoother(), draw, Fair, []);
        var (values, information) = ((double[])draw.Values.Clone(), (double[])draw.Information.Clone());
        new WanderSmoother().Fit(values, information, Step, Fair, [], values, information);
        Assert.Equal(smooth, values);
        Assert.Equal(sigma, information);
    }

    [Fact]
    public void Once_it_has_its_scratch_it_allocates_nothing()
    {
        var draw = Draw(63, 400, true);
        var (smooth, sigma) = (new double[400], new double[400]);
        var smoother = new WanderSmoother();
        smoother.Fit(draw.Values, draw.Information, Step, Fair, [], smooth, sigma);
        var before = GC.GetAllocatedBytesForCurrentThread();
        smoother.Fit(draw.Values, draw.Information, Step, Fair, [], smooth, sigma);
        smoother.LogLikelihood(draw.Values, draw.Information, Step, Fair, []);
        Assert.Equal(before, GC.GetAllocatedBytesForCurrentThread());
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(0, 1e12)]
    [InlineData(1, 1e12)]
    [InlineData(5e-324, 1e12)]
    [InlineData(1e-5, 1e-300)]
    public void Curve_is_finite_whatever_comes(double size, double information)
    {
        const int count = 100;
        var values = Enumerable.Range(0, count).Select(i => i % 2 == 0 ? size : -size).ToArray();
        var known = Enumerable.Repeat(information, count).ToArray();
        var (smooth, sigma) = (new double[count], new double[count]);
        new WanderSmoother().Fit(values, known, Step, Fair, [], smooth, sigma);
        Assert.All(smooth, x => Assert.True(double.IsFinite(x)));
        Assert.All(sigma, x => Assert.True(double.IsFinite(x) && x > 0));
    }

    [Fact]
    public void Unequal_lengths_are_refused()
    {
        var smoother = new WanderSmoother();
        Assert.Throws<ArgumentException>(() => smoother.LogLikelihood(new double[3], new double[2], Step, Fair, []));
        Assert.Throws<ArgumentException>(() => smoother.LogLikelihood(new double[3], new double[3], Step, Fair, new double[2]));
        Assert.Throws<ArgumentException>(() => smoother.Fit(new double[3], new double[3], Step, Fair, [], new double[2], new double[3]));
    }

    // Unequal points, and some that are missing.
    private static WanderDraw Draw(ulong seed, int count, bool isFair)
    {
        var unit = isFair ? 1e-6 : 1e-4;
        return WanderDraw.Of(
            seed,
            count,
            Step,
            isFair ? Fair : Rough,
            i => i % 7 == 3 || i is > 30 and < 40 ? double.PositiveInfinity : unit * (1 + i % 5),
            isFair ? 1e-3 : 0.1
        );
    }

    // One step at which the tape may jump.
    private static double[] Breaks(int count) => [.. Enumerable.Range(0, count).Select(i => i == 50 ? 1e4 : 1.0)];

    private static (double[] Smooth, double[] Sigma) Fit(WanderSmoother smoother, WanderDraw draw, WanderModel model, double[] relative)
    {
        var (smooth, sigma) = (new double[draw.Values.Length], new double[draw.Values.Length]);
        smoother.Fit(draw.Values, draw.Information, Step, model, relative, smooth, sigma);
        return (smooth, sigma);
    }
}
