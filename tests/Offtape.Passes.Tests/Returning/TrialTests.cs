using Offtape.Perf.Passes;

namespace Offtape.Passes.Tests.Returning;

/// <summary>
/// A fixed share of the trials whose full counts stand in perf/results: real recordings through simulated machines. The truth is the
/// simulated machine's own map. The limits are what the program promises, not what it happened to reach.
/// </summary>
public sealed class TrialTests
{
    [Fact]
    public void By_sound_alone_what_is_there_is_found_and_what_is_not_is_not_claimed()
    {
        var outcomes = FindTrials.Measure(0.06);
        var present = outcomes.Where(o => o.What == FindTrials.What.Present).ToList();
        Assert.DoesNotContain(outcomes, o => o.IsClaimed && !o.IsRight);
        var found = present.Count(o => o.IsRight);
        // 99 of 100: of about a hundred, one may be missed.
        Assert.True(found >= present.Count - Math.Ceiling(0.01 * present.Count), $"found {found} of {present.Count}: " + Missed(present));
    }

    [Fact]
    public void Lost_slates_and_overdriven_or_levelled_passes_lose_no_sound()
    {
        foreach (var row in MishapTrials.Measure(0.04, "").Take(4))
        {
            Assert.True(row.Found == row.Sought, $"{row.Name}: {row.Found} of {row.Sought}. " + string.Join(Environment.NewLine, row.Odd));
            Assert.True(row.Named is null || row.Named == row.Count, $"{row.Name}: told in {row.Named} of {row.Count}");
        }
    }

    [Fact]
    public void Returns_that_never_went_through_tape_leaks_and_wrong_rates_are_named_and_nothing_else()
    {
        foreach (var row in new[] { "monitor", "leak", "kHz" }.SelectMany(name => MishapTrials.Measure(0.06, name)))
        {
            Assert.True(
                row.Named == row.Count,
                $"{row.Name}: named in {row.Named} of {row.Count}. " + string.Join(Environment.NewLine, row.Odd)
            );
            Assert.True(row.Others.Count == 0, $"{row.Name}: told beside it: {string.Join(", ", row.Others.Keys)}");
        }
    }

    [Fact]
    public void A_good_return_raises_no_alarm()
    {
        var row = MishapTrials.Measure(0.05, "nothing wrong").Single();
        Assert.True(row.Found == row.Sought && row.Others.Count == 0, string.Join(Environment.NewLine, row.Odd));
    }

    private static string Missed(IEnumerable<FindTrials.Outcome> present) =>
        string.Join(Environment.NewLine, present.Where(o => !o.IsRight).Select(o => o.Text));
}
