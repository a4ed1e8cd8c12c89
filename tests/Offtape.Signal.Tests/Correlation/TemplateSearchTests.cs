using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>Checks the search against sounds put into noise at known places, and against a plain search that looks at every frame.</summary>
public sealed class TemplateSearchTests
{
    private readonly Random random = new(1);

    [Fact]
    public void Every_copy_is_found_at_its_frame_with_gain_and_polarity()
    {
        var template = Noise(2000, 1);
        var input = Noise(100_000, 0.01f);
        var places = new (int Frame, float Gain)[] { (0, 0.5f), (30_000, -0.9f), (61_234, 0.1f), (98_000, 0.3f) };
        foreach (var (frame, gain) in places)
        {
            for (var n = 0; n < template.Length; n++)
                input[frame + n] += gain * template[n];
        }
        var matches = TemplateSearch.Find(template, input, 6, 1000);
        foreach (var (frame, gain) in places)
        {
            var match = Assert.Single(matches, m => m.StartFrame == frame);
            Assert.Equal(Math.Sign(gain), match.Polarity);
            // Noise of 0.01 against 2000 samples of the template: 0.01/√2000 of its level, three times over.
            Measured.Within(Math.Abs(gain), match.GainLinear, 0.001, "gain");
            Measured.AtLeast(0.99, match.Correlation, "correlation");
        }
        // What is beyond the four copies is chance, √(2·ln(100000)/2000) at most.
        Assert.All(matches.Skip(4), m => Assert.True(m.Correlation < 0.12, m.ToString()));
        Assert.Equal(matches.OrderByDescending(m => m.Correlation), matches);
    }

    /// <summary>Of one sound at several speeds, the one that fits is named.</summary>
    [Fact]
    public void Template_that_fits_is_named()
    {
        var chirps = new[] { 0.98, 1, 1.02 }.Select(speed => Tones(3000, speed)).ToArray();
        var input = Noise(40_000, 0.05f);
        for (var n = 0; n < 3000; n++)
            input[20_500 + n] -= 0.2f * chirps[2][n];
        var search = new TemplateSearch([.. chirps.Select(c => MatchedTemplate.InPhaseOnly(c))], 1, 500);
        search.Process(input);
        var match = Assert.Single(search.Finish());
        Assert.Equal((20_500, 2, -1), (match.StartFrame, match.TemplateIndex, match.Polarity));
    }

    /// <summary>
    /// The queue of falling heights against the definition: every frame that is highest within the separation, found by looking at them all.
    /// </summary>
    [Theory, InlineData(1), InlineData(7), InlineData(300)]
    public void Matches_are_the_highest_within_the_separation(int separationFrames)
    {
        var templates = new[] { Noise(30, 1), Noise(50, 1) };
        var input = Noise(12_000, 1);
        input.AsSpan(4000, 500).Clear();
        var best = new double[input.Length];
        var bank = new MatchedFilterBank([.. templates.Select(t => MatchedTemplate.InPhaseOnly(t))]);
        void Look(in MatchedBlock block)
        {
            for (var i = 0; i < block.Count; i++)
                best[block.StartFrame + i] = Math.Max(best[block.StartFrame + i], block.NormalisedCorrelation(i));
        }
        bank.Process(input, Look);
        bank.Finish(Look);
        var wanted = Enumerable
            .Range(0, best.Length)
            .Where(f =>
                best[f] >= 0.05
                && best[Math.Max(0, f - separationFrames)..f].All(earlier => earlier < best[f])
                && best[f..Math.Min(best.Length, f + separationFrames + 1)].All(later => later <= best[f])
            )
            .ToArray();

        var search = new TemplateSearch([.. templates.Select(t => MatchedTemplate.InPhaseOnly(t))], input.Length, separationFrames);
        for (var at = 0; at < input.Length; at += 777)
            search.Process(input.AsSpan(at, Math.Min(777, input.Length - at)));
        var matches = search.Finish();
        Assert.Equal(wanted, matches.Select(m => (int)m.StartFrame).Order());
        Assert.Equal(wanted.Select(f => best[f]), matches.OrderBy(m => m.StartFrame).Select(m => m.Correlation));

        // And again, as new.
        search.Process(input);
        Assert.Equal(matches, search.Finish());
    }

    [Fact]
    public void Silence_has_no_match() => Assert.Empty(TemplateSearch.Find([1, 2, 3], new float[10_000], 5, 10));

    [Fact]
    public void Searching_allocates_nothing()
    {
        var search = new TemplateSearch([MatchedTemplate.InPhaseOnly(Noise(300, 1))], 10, 100);
        var input = Noise(20_000, 1);
        search.Process(input);
        var before = GC.GetAllocatedBytesForCurrentThread();
        search.Process(input);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    private static float[] Tones(int length, double speed) =>
        [.. Enumerable.Range(0, length).Select(n => (float)(Math.Sin(0.11 * speed * n) + Math.Sin(0.303 * speed * n + 1)))];

    private float[] Noise(int length, float level) =>
        [.. Enumerable.Range(0, length).Select(_ => level * (float)(2 * random.NextDouble() - 1))];
}
