using Offtape.Base;

namespace Offtape.Bench;

/// <summary>
/// Finds where the tape let go of the head during a sweep: a dip in one sweep of one channel that neither the channel's other sweeps have nor, at
/// that moment, the other channels. What a dropout takes is no response, and counts for nothing.
/// </summary>
internal static class SweepDropouts
{
    // With fewer sweeps it cannot be told which of them has the dip.
    private const int LeastSweeps = 3;

    // Levels differ by their compression, which changes slowly over frequency: half an octave on either side.
    private const int TrendReach = BandGrid.PerDecade * 3 / 20;
    private const double LeastDipDb = 0.25;
    private const double SigmasOfDip = 4;

    // As far about a dip as it is still at least so deep, its flanks belong to it.
    private const double FlankShare = 0.25;

    // Below where the wobble is followed it makes dips of its own, and peaks as well: in all channels alike, which one channel alone does not tell.
    private const double UnfollowedBelowHz = 180;
    private const double LeastUnfollowedDipDb = 1;

    /// <summary>For each sweep, which of its frequencies count.</summary>
    internal static bool[][] Sound(IReadOnlyList<SweepReading> sweeps)
    {
        var sound = sweeps.Select(s => (bool[])s.IsFollowed.Clone()).ToArray();
        var differences = SweepDifferences.Of(sweeps, LeastSweeps);
        for (var i = 0; i < sweeps.Count; i++)
        {
            if (differences[i].Db.Length > 0)
                Mark(differences[i], [.. differences.Where((d, j) => j != i && d.Db.Length > 0 && d.IsBeside(differences[i]))], sound[i]);
        }
        return sound;
    }

    private static void Mark(SweepDifferences own, SweepDifferences[] beside, bool[] sound)
    {
        var count = own.Db.Length;
        var (rest, sigma) = (new double[count], new double[count]);
        for (var k = 0; k < count; k++)
        {
            var common = Median([.. beside.Select(b => b.Db[k]).Where(double.IsFinite)]);
            var isTold = double.IsFinite(common);
            rest[k] = own.Db[k] - (isTold ? common : 0);
            sigma[k] = isTold ? double.Hypot(own.SigmaDb[k], beside.Max(b => b.SigmaDb[k])) : own.SigmaDb[k];
        }
        var (isDip, isFlank) = (new bool[count], new bool[count]);
        for (var k = 0; k < count; k++)
        {
            var trend = Median([.. rest[Math.Max(0, k - TrendReach)..Math.Min(count, k + TrendReach + 1)].Where(double.IsFinite)]);
            var least = own.Hz[k] < UnfollowedBelowHz && beside.Length == 0 ? LeastUnfollowedDipDb : LeastDipDb;
            var depth = trend - rest[k];
            isDip[k] = depth > Math.Max(least, SigmasOfDip * sigma[k]);
            isFlank[k] = depth > FlankShare * least;
        }
        for (var k = 0; k < count; k++)
        {
            if (!isDip[k])
                continue;
            Lose(k, -1);
            Lose(k, 1);
        }

        void Lose(int from, int direction)
        {
            sound[from] = false;
            // One beyond in any case.
            for (var k = from + direction; k >= 0 && k < count; k += direction)
            {
                sound[k] = false;
                if (!isFlank[k])
                    break;
            }
        }
    }

    private static double Median(double[] values)
    {
        if (values.Length == 0)
            return double.NaN;
        Array.Sort(values);
        return (values[values.Length / 2] + values[(values.Length - 1) / 2]) / 2;
    }
}
