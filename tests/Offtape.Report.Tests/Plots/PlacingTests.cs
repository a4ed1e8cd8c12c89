using CsCheck;

namespace Offtape.Report.Tests;

/// <summary>Placing words and thinning lines: what must hold whatever comes in.</summary>
public sealed class PlacingTests
{
    [Fact]
    public void Words_of_one_row_never_touch() =>
        Gen.Select(Gen.Double[0, 800], Gen.Double[5, 120])
            .Array[0, 25]
            .Sample(words =>
            {
                var stretches = words.Select(w => (From: w.Item1, To: w.Item1 + w.Item2)).ToArray();
                var rows = LabelRows.Rows(stretches, 3, 10);
                for (var i = 0; i < rows.Length; i++)
                for (var j = i + 1; j < rows.Length; j++)
                {
                    if (
                        rows[i] >= 0
                        && rows[i] == rows[j]
                        && stretches[i].From - stretches[j].To < 10
                        && stretches[j].From - stretches[i].To < 10
                    )
                        return false;
                }
                return true;
            });

    [Fact]
    public void A_word_is_only_left_out_where_every_row_is_taken()
    {
        (double, double)[] stretches = [(0, 50), (40, 90), (45, 60), (20, 70), (200, 250)];
        Assert.Equal([0, 1, -1, -1, 0], LabelRows.Rows(stretches, 2, 0));
    }

    [Fact]
    public void Labels_moved_apart_keep_their_order_their_spacing_and_their_bounds() =>
        Gen.Double[0, 200]
            .Array[1, 15]
            .Sample(wanted =>
            {
                var placed = LabelRows.Spread(wanted, 16, 10, 190);
                var step = wanted.Length < 2 ? 16 : Math.Min(16, 180.0 / (wanted.Length - 1));
                var order = Enumerable.Range(0, wanted.Length).OrderBy(i => wanted[i]).ToArray();
                // Sums of steps round.
                return placed.All(p => p is >= 10 - 1e-9 and <= 190 + 1e-9)
                    && order.Zip(order.Skip(1)).All(p => placed[p.Second] - placed[p.First] >= step - 1e-9);
            });

    [Fact]
    public void Labels_that_are_apart_already_stay_where_they_are() =>
        Assert.Equal([100, 20, 60], LabelRows.Spread([100, 20, 60], 16, 0, 200));

    /// <summary>The ink of a line within one pixel column reaches from its lowest to its highest point: thinning must not change that.</summary>
    [Fact]
    public void Thinning_keeps_the_ends_and_the_extremes_of_every_column() =>
        Gen.Select(Gen.Double[0, 40], Gen.Double[-100, 100])
            .Array[1, 300]
            .Sample(pairs =>
            {
                var points = pairs.OrderBy(p => p.Item1).Select(p => new Point(p.Item1, p.Item2)).ToArray();
                var thinned = Thinning.ByColumn(points);
                var before = points
                    .GroupBy(p => Math.Floor(p.X))
                    .ToDictionary(g => g.Key, g => (g.Min(p => p.Y), g.Max(p => p.Y), g.First(), g.Last()));
                var after = thinned
                    .GroupBy(p => Math.Floor(p.X))
                    .ToDictionary(g => g.Key, g => (g.Min(p => p.Y), g.Max(p => p.Y), g.First(), g.Last()));
                return before.Count == after.Count
                    && before.All(b => after[b.Key].Equals(b.Value))
                    && (points.Length <= 4 || thinned.GroupBy(p => Math.Floor(p.X)).All(g => g.Count() <= 4));
            });
}
