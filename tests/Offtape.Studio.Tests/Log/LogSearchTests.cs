using Offtape.Studio.Tests.Store;
using Offtape.Studio.Writer;

namespace Offtape.Studio.Tests.Log;

/// <summary>Answers of the log against going through all its passes one by one.</summary>
public sealed class LogSearchTests : IClassFixture<LogSearchTests.Filled>
{
    private const int Count = 1500;
    private readonly StudioStore _store;

    public LogSearchTests(Filled studio) => _store = studio.Store;

    /// <summary>An invented studio, filled once.</summary>
    public sealed class Filled : IDisposable
    {
        private readonly TemporaryStudio _studio = new();

        public Filled()
        {
            Store = _studio.Open();
            new InventedPasses(11).Fill(Store, Count);
        }

        internal StudioStore Store { get; }

        public void Dispose()
        {
            Store.Dispose();
            _studio.Dispose();
        }
    }

    [Theory]
    [InlineData("attic reel", null, null, null)]
    [InlineData("ATTIC REEL", 19.0, null, null)]
    [InlineData(null, null, "glass", null)]
    [InlineData(null, null, "gl", null)]
    [InlineData(null, null, "123", null)]
    [InlineData(null, null, "7", null)]
    [InlineData(null, null, "theremin", null)]
    [InlineData(null, null, "100%", null)]
    [InlineData(null, null, "\" OR \"", null)]
    [InlineData("corner deck", 9.5, "MARIMBA", "2010-02-01")]
    [InlineData(null, null, null, "2010-03-01")]
    public void What_is_found_is_what_going_through_all_finds(string? machine, double? speed, string? source, string? from)
    {
        var search = new LogSearch(_store);
        var all = search.Passes(new PassFilter { Limit = int.MaxValue });
        Assert.Equal(Count, all.Count);
        Assert.Equal(all.OrderByDescending(p => p.At, StringComparer.Ordinal).Select(p => p.PassId), all.Select(p => p.PassId));
        var wanted = all.Where(p =>
                (machine is null || string.Equals(p.Machine, machine, StringComparison.OrdinalIgnoreCase))
                && (speed is null || Math.Abs(p.SpeedCmPerSecond!.Value / speed.Value - 1) < 0.01)
                && (source is null || p.Sources.Any(s => s.Contains(source, StringComparison.OrdinalIgnoreCase)))
                && (from is null || string.CompareOrdinal(p.At, from) >= 0)
            )
            .Select(p => p.PassId)
            .ToArray();
        var filter = new PassFilter
        {
            Machine = machine,
            SpeedCmPerSecond = speed,
            Source = source,
            From = from,
        };
        Assert.Equal(wanted, search.Passes(filter with { Limit = int.MaxValue }).Select(p => p.PassId));
        Assert.Equal(wanted.Take(7), search.Passes(filter with { Limit = 7 }).Select(p => p.PassId));
    }

    [Fact]
    public void How_often_a_stretch_was_used_counts_what_lies_under_it()
    {
        var stretches = _store.Read(c =>
            Dapper
                .SqlMapper.Query<(long Id, long Side, double Start, double End, long Times)>(
                    c,
                    "SELECT id, sideId, speedCmPerSecond * startSeconds, speedCmPerSecond * endSeconds, times FROM stretches ORDER BY id"
                )
                .ToArray()
        );
        for (var i = 0; i < stretches.Length; i++)
        {
            var s = stretches[i];
            var under = stretches.Take(i).Where(o => o.Side == s.Side && o.Start < s.End && o.End > s.Start).Select(o => o.Times);
            Assert.Equal(1 + under.DefaultIfEmpty(0).Max(), s.Times);
        }
        Assert.Contains(stretches, s => s.Times > 1);
    }
}
