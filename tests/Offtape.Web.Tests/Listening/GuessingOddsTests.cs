using System.Numerics;
using Offtape.Web.Listening;

namespace Offtape.Web.Tests.Listening;

/// <summary>The binomial of guessing, against counting every way in which a run can go, and against SciPy (fixture, tools/reference/guessing.py).</summary>
public sealed class GuessingOddsTests
{
    /// <summary>All 2^n runs, one by one.</summary>
    [Fact]
    public void Up_to_sixteen_trials_it_is_the_count_of_all_runs()
    {
        for (var trials = 0; trials <= 16; trials++)
        for (var right = 0; right <= trials; right++)
        {
            var ways = Enumerable.Range(0, 1 << trials).Count(run => BitOperations.PopCount((uint)run) >= right);
            Assert.Equal(ways / (double)(1 << trials), GuessingOdds.AtLeast(right, trials));
        }
    }

    /// <summary>Tolerance: SciPy's own, of the last digits of a double.</summary>
    [Fact]
    public void It_is_SciPys()
    {
        var lines = File.ReadAllLines(Path.Combine(AppContext.BaseDirectory, "Listening", "guessing.csv")).Skip(1).ToList();
        Assert.True(lines.Count > 100);
        foreach (var line in lines)
        {
            var parts = line.Split(',');
            var wanted = double.Parse(parts[2]);
            Assert.Equal(1, GuessingOdds.AtLeast(int.Parse(parts[0]), int.Parse(parts[1])) / wanted, 1e-11);
        }
    }

    [Theory]
    [InlineData(10, 9)]
    [InlineData(16, 12)]
    [InlineData(25, 18)]
    [InlineData(40, 26)]
    [InlineData(4, null)]
    public void What_is_needed_is_the_fewest_that_guessing_seldom_reaches(int trials, int? needed)
    {
        Assert.Equal(needed, GuessingOdds.Needed(trials, 0.05));
        if (needed is { } right)
            Assert.True(GuessingOdds.AtLeast(right - 1, trials) > 0.05);
    }

    [Fact]
    public void None_right_is_certain_and_nonsense_is_refused()
    {
        Assert.Equal(1, GuessingOdds.AtLeast(0, 1000));
        Assert.Equal(Math.Pow(2, -1000), GuessingOdds.AtLeast(1000, 1000));
        Assert.Throws<ArgumentOutOfRangeException>(() => GuessingOdds.AtLeast(-1, 3));
        Assert.Throws<ArgumentOutOfRangeException>(() => GuessingOdds.AtLeast(4, 3));
        Assert.Throws<ArgumentOutOfRangeException>(() => GuessingOdds.AtLeast(4, 1001));
    }
}
