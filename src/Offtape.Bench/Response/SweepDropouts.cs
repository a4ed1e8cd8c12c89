using Offtape.Base;

namespace Offtape.Bench;

/// <summary>
/// Finds where the tape let go of the head during a sweep: a dip in one sweep that the channel's other sweeps do not have. What a dropout takes
/// is no response, and counts for nothing.
/// </summary>
internal static class SweepDropouts
{
    // With fewer sweeps it cannot be told which of them has the dip.
    private const int LeastSweeps = 3;

    // Levels differ by their compression, which changes slowly over frequency: half an octave on either side.
    private const int TrendReach = BandGrid.PerDecade * 3 / 20;
    private const double LeastDipDb = 0.25;
    private const double SigmasOfDip = 4;

    // Below where the wobble is followed it makes dips of its own, and peaks as well.
    private const double UnfollowedBelowHz = 180;
    private const double LeastUnfollowedDipDb = 1;

    /// <summary>For each of a channel's sweeps, which of its frequencies count.</summary>
    internal static bool[][] Sound(IReadOnlyList<SweepReading> sweeps)
    {
        var sound = sweeps.Select(s => (bool[])s.IsFollowed.Clone()).ToArray();
        if (sweeps.Count < LeastSweeps)
            return sound;
        var levels = sweeps.Select(s => Array.ConvertAll(s.Power(1), p => p > 0 ? Conversions.PowerToDb(p) : double.NaN)).ToArray();
        var count = levels[0].Length;
        var middle = new double[count];
        for (var k = 0; k < count; k++)
            middle[k] = Median([.. levels.Select(l => l[k]).Where(double.IsFinite)]);
        for (var i = 0; i < sweeps.Count; i++)
        {
            var variance = sweeps[i].PowerVariance(1);
            var difference = new double[count];
            for (var k = 0; k < count; k++)
                difference[k] = levels[i][k] - middle[k];
            for (var k = 0; k < count; k++)
            {
                var trend = Median([
                    .. difference[Math.Max(0, k - TrendReach)..Math.Min(count, k + TrendReach + 1)].Where(double.IsFinite),
                ]);
                var sigma = 4.343 * Math.Sqrt(variance[k]) / Conversions.DbToPower(levels[i][k]);
                var least = sweeps[i].Hz[k] < UnfollowedBelowHz ? LeastUnfollowedDipDb : LeastDipDb;
                if (!(difference[k] - trend < -Math.Max(least, SigmasOfDip * sigma)))
                    continue;
                // Its flanks as well.
                for (var j = Math.Max(0, k - 1); j <= Math.Min(count - 1, k + 1); j++)
                    sound[i][j] = false;
            }
        }
        return sound;
    }

    private static double Median(double[] values)
    {
        if (values.Length == 0)
            return double.NaN;
        Array.Sort(values);
        return (values[values.Length / 2] + values[(values.Length - 1) / 2]) / 2;
    }
}
