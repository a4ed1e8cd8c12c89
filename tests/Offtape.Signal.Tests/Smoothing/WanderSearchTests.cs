using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>Checks that the model is found again from points drawn from it, and that what is found is likelier than its neighbours.</summary>
public sealed class WanderSearchTests
{
    private const double Step = 0.02;
    private static readonly WanderModel Start = new(1e-6, 5e-6, 0.1);

    /// <summary>Walk within half a decade and tremble within a factor of two: one step of the search, which is also some deviations of
    /// what a minute of points can tell.</summary>
    [Theory]
    [InlineData(1, 2e-7, 4e-6)]
    [InlineData(2, 2e-8, 1.2e-5)]
    [InlineData(3, 7e-6, 1.2e-5)]
    [InlineData(4, 5e-5, 3e-5)]
    [InlineData(5, 2e-9, 2e-6)]
    public void The_model_is_found_again(ulong seed, double walk, double tremble)
    {
        var draw = WanderDraw.Of(seed, 3000, Step, new WanderModel(walk, tremble, 0.1), i => 1e-6 * (1 + i % 3), 1e-3);
        var found = WanderSearch.Climb(new WanderSmoother(), draw.Values, draw.Information, Step, Start, []);
        Measured.Within(0, Math.Log10(found.WalkNoise / walk), 0.5, $"decades of walk noise ({found})");
        Measured.Within(0, Math.Log2(found.Tremble / tremble), 1, $"octaves of tremble ({found})");
        Assert.Equal(0.1, found.TrembleSeconds);
    }

    /// <summary>By the whole Gaussian: no single step of half a decade or a factor of two leads higher.</summary>
    [Fact]
    public void What_is_found_is_likelier_than_its_neighbours()
    {
        var draw = WanderDraw.Of(6, 60, Step, new WanderModel(3e-5, 8e-6, 0.1), i => 2e-6, 1e-3);
        var found = WanderSearch.Climb(new WanderSmoother(), draw.Values, draw.Information, Step, Start, []);
        double Likelihood(WanderModel m) => new DenseWander(draw.Values, draw.Information, Step, m, []).LogLikelihoodAfterTwo();
        var best = Likelihood(found);
        foreach (var factor in new[] { Math.Sqrt(10), Math.Sqrt(0.1) })
            Measured.AtMost(best + 1e-3, Likelihood(found with { WalkNoise = found.WalkNoise * factor }), $"walk times {factor}");
        foreach (var factor in new[] { 2, 0.5 })
            Measured.AtMost(best + 1e-3, Likelihood(found with { Tremble = found.Tremble * factor }), $"tremble times {factor}");
    }

    /// <summary>A line without noise wants none of either, nothing measured says nothing: the search ends inside its limits.</summary>
    [Theory, InlineData(1e12), InlineData(0)]
    public void It_ends_where_there_is_nothing_to_find(double information)
    {
        var values = Enumerable.Range(0, 500).Select(i => 1e-5 * i).ToArray();
        var found = WanderSearch.Climb(new WanderSmoother(), values, [.. values.Select(_ => information)], Step, Start, []);
        Assert.InRange(found.WalkNoise, 1e-11, 1e-6);
        Assert.InRange(found.Tremble, 1e-8, 5e-6);
    }

    [Fact]
    public void The_search_allocates_nothing()
    {
        var draw = WanderDraw.Of(7, 500, Step, Start, i => 2e-6, 1e-3);
        var smoother = new WanderSmoother();
        WanderSearch.Climb(smoother, draw.Values, draw.Information, Step, Start, []);
        var before = GC.GetAllocatedBytesForCurrentThread();
        WanderSearch.Climb(smoother, draw.Values, draw.Information, Step, Start, []);
        Assert.Equal(before, GC.GetAllocatedBytesForCurrentThread());
    }
}
