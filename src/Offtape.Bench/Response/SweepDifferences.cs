using Offtape.Base;

namespace Offtape.Bench;

/// <summary>One sweep of one channel against what all that channel's sweeps have in common: what was different that time.</summary>
/// <param name="Reading">The sweep.</param>
/// <param name="Db">At each of its frequencies, in dB; not a number where it is lost. Empty where the channel has too few sweeps.</param>
/// <param name="TrendDb">The slow part of <paramref name="Db"/>: levels differ by their compression.</param>
/// <param name="SigmaDb">What noise makes of it, as a standard deviation.</param>
/// <param name="MiddleDb">What they have in common.</param>
internal sealed record SweepDifferences(SweepReading Reading, double[] Db, double[] TrendDb, double[] SigmaDb, double[] MiddleDb)
{
    // Compression changes slowly over frequency: half an octave on either side.
    private const int TrendReach = BandGrid.PerDecade * 3 / 20;

    internal double[] Hz => Reading.Hz;

    /// <summary>Another channel at the same moment.</summary>
    internal bool IsBeside(SweepDifferences other) => Reading.Part == other.Reading.Part && Db.Length == other.Db.Length;

    /// <param name="sweeps">Of any channels.</param>
    /// <param name="leastSweeps">A channel with fewer says nothing.</param>
    /// <returns>One for each sweep, in their order.</returns>
    internal static SweepDifferences[] Of(IReadOnlyList<SweepReading> sweeps, int leastSweeps)
    {
        var found = new SweepDifferences[sweeps.Count];
        foreach (var channel in Enumerable.Range(0, sweeps.Count).GroupBy(i => sweeps[i].Channel))
        {
            int[] own = [.. channel];
            var levels = own.Select(i => Array.ConvertAll(sweeps[i].Power(1), p => p > 0 ? Conversions.PowerToDb(p) : double.NaN))
                .ToArray();
            var isEnough = own.Length >= leastSweeps && levels.All(l => l.Length == levels[0].Length);
            // Their trends first: a middle of sweeps at several levels would jump where one of them falls out.
            var rough = isEnough ? Middle(levels) : [];
            var trends = levels.Select(l => Trend(Less(l, rough))).ToArray();
            var middle = isEnough ? Middle([.. levels.Select((l, i) => Less(l, trends[i]))]) : [];
            for (var i = 0; i < own.Length; i++)
            {
                var variance = sweeps[own[i]].PowerVariance(1);
                var level = levels[i];
                found[own[i]] = new SweepDifferences(
                    sweeps[own[i]],
                    Less(level, middle),
                    trends[i],
                    // 10·log10(1 + x) is 4.343·x.
                    [.. middle.Select((_, k) => 4.343 * Math.Sqrt(variance[k]) / Conversions.DbToPower(level[k]))],
                    middle
                );
            }
        }
        return found;
    }

    private static double[] Less(double[] values, double[] taken) => [.. taken.Select((t, k) => values[k] - t)];

    private static double[] Middle(double[][] levels) =>
        [.. Enumerable.Range(0, levels[0].Length).Select(k => Median(levels.Select(l => l[k])))];

    private static double[] Trend(double[] values) =>
        [
            .. values.Select(
                (_, k) => Median(values.AsSpan(Math.Max(0, k - TrendReach)..Math.Min(values.Length, k + TrendReach + 1)).ToArray())
            ),
        ];

    private static double Median(IEnumerable<double> values) => HeardTone.Median([.. values.Where(double.IsFinite)]);
}
