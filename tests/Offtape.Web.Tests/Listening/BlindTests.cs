using Offtape.Web.Folders;
using Offtape.Web.Listening;

namespace Offtape.Web.Tests.Listening;

/// <summary>A blind comparison keeps its secret until it is over, and counts rightly.</summary>
public sealed class BlindTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("offtape-web-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task X_is_drawn_evenly_told_late_and_counted()
    {
        using var studio = StudioFolder.Open(_folder);
        using var hearing = new HearingDesk(studio);
        var (blind, set) = (new BlindDesk(hearing), Set(hearing));
        var run = await Begin(blind, set, 1000);
        // 1000 draws of one half: five standard deviations are 79.
        Assert.InRange(run.IsB.Count(b => b), 421, 579);
        var right = 0;
        for (var trial = 1; trial <= 1000; trial++)
        {
            Assert.Null(run.Right);
            Assert.Equal("source", run.VariantOf("a", trial));
            Assert.Equal("lock", run.VariantOf("b", trial));
            Assert.Equal(run.IsB[trial - 1] ? "lock" : "source", run.VariantOf("x", trial));
            Assert.Null(run.VariantOf("x", trial + 1));
            Assert.Null(run.VariantOf("x", 0));
            Assert.Null(run.VariantOf("source", trial));
            right += run.IsB[trial - 1] ? 1 : 0;
            run = blind.Answer(run.Id, trial, isB: true)!;
            // The same answer from a second window, or a double click, is not the next one.
            run = blind.Answer(run.Id, trial, isB: true)!;
        }
        Assert.True(run.IsOver);
        Assert.Equal(right, run.Right);
        Assert.Null(run.VariantOf("x", 1001));
        Assert.Same(run, blind.Answer(run.Id, 1000, isB: false));
    }

    [Fact]
    public async Task Two_runs_draw_differently()
    {
        using var studio = StudioFolder.Open(_folder);
        using var hearing = new HearingDesk(studio);
        var (blind, set) = (new BlindDesk(hearing), Set(hearing));
        Assert.NotEqual((await Begin(blind, set, 100)).IsB, (await Begin(blind, set, 100)).IsB);
    }

    [Fact]
    public async Task What_it_showed_is_said_with_its_odds_and_all_runs_of_a_pair_together()
    {
        using var studio = StudioFolder.Open(_folder);
        using var hearing = new HearingDesk(studio);
        var (blind, set) = (new BlindDesk(hearing), Set(hearing));
        var run = await Begin(blind, set, 16);
        for (var trial = 1; trial <= 16; trial++)
            run = blind.Answer(run.Id, trial, isB: trial <= 12 == run.IsB[trial - 1])!;
        var words = BlindWords.After(run, blind.OverOf(run));
        // 2517 of 65536.
        Assert.Contains("12 of 16 right", words, StringComparison.Ordinal);
        Assert.Contains("3.8\u2009% of runs", words, StringComparison.Ordinal);
        Assert.Contains("this ear tells the two apart", words, StringComparison.Ordinal);

        var second = await Begin(blind, set, 16);
        second = blind.Answer(second.Id, 1, isB: !second.IsB[0])!;
        second = blind.CutShort(second.Id)!;
        words = BlindWords.After(second, blind.OverOf(second));
        Assert.Contains("0 of 1 right", words, StringComparison.Ordinal);
        Assert.Contains("You stopped after 1 of 16", words, StringComparison.Ordinal);
        Assert.Contains("did not tell the two apart", words, StringComparison.Ordinal);
        Assert.Contains("all of them together: 12 of 17", words, StringComparison.Ordinal);
        Assert.Contains("12 of 16 have to be right", BlindWords.Before(16), StringComparison.Ordinal);
    }

    private HeardSet Set(HearingDesk hearing)
    {
        var source = ListeningDesk.Source(1);
        var (a, b) = (Path.Combine(_folder, "a.wav"), Path.Combine(_folder, "b.wav"));
        ListeningDesk.Save(a, source);
        ListeningDesk.Save(b, [.. source.Select(s => 0.5f * s)]);
        return hearing.Open("kit", new Dictionary<string, string> { ["source"] = a, ["lock"] = b });
    }

    private static async Task<BlindRun> Begin(BlindDesk blind, HeardSet set, int trials)
    {
        for (; ; )
        {
            if (blind.Begin(set, "source", "lock", trials) is { } run)
                return run;
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }
    }
}
