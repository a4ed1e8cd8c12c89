using Offtape.Base;

namespace Offtape.Bench;

/// <summary>One sweep of one channel against the middle of all that channel's sweeps: what was different that time.</summary>
/// <param name="Reading">The sweep.</param>
/// <param name="Db">At each of its frequencies, in dB; not a number where it is lost. Empty where the channel has too few sweeps.</param>
/// <param name="SigmaDb">What noise makes of that, as a standard deviation.</param>
internal sealed record SweepDifferences(SweepReading Reading, double[] Db, double[] SigmaDb)
{
    internal double[] Hz => Reading.Hz;

    /// <summary>Another channel at the same moment.</summary>
    internal bool IsBeside(SweepDifferences other) => Reading.Part == other.Reading.Part && Db.Length == other.Db.Length;

    /// <param name="sweeps">Of any channels.</param>
    /// <param name="leastSweeps">A channel with fewer says nothing.</param>
    /// <returns>One for each sweep, in their order.</returns>
    internal static SweepDifferences[] Of(IReadOnlyList<SweepReading> sweeps, int leastSweeps)
    {
        var levels = sweeps.Select(s => Array.ConvertAll(s.Power(1), p => p > 0 ? Conversions.PowerToDb(p) : double.NaN)).ToArray();
        var found = new SweepDifferences[sweeps.Count];
        foreach (var channel in Enumerable.Range(0, sweeps.Count).GroupBy(i => sweeps[i].Channel))
        {
            int[] own = [.. channel];
            var isEnough = own.Length >= leastSweeps && own.All(i => levels[i].Length == levels[own[0]].Length);
            var middle = isEnough
                ? Enumerable
                    .Range(0, levels[own[0]].Length)
                    .Select(k => HeardTone.Median(own.Select(i => levels[i][k]).Where(double.IsFinite).ToArray()))
                    .ToArray()
                : [];
            foreach (var i in own)
            {
                var variance = sweeps[i].PowerVariance(1);
                found[i] = new SweepDifferences(
                    sweeps[i],
                    [.. middle.Select((m, k) => levels[i][k] - m)],
                    // 10·log10(1 + x) is 4.343·x.
                    [.. middle.Select((_, k) => 4.343 * Math.Sqrt(variance[k]) / Conversions.DbToPower(levels[i][k]))]
                );
            }
        }
        return found;
    }
}
