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

    private const double LeastDipDb = 0.25;
    private const double SigmasOfDip = 4;

    // Next to a dip what is still off by so much, down or up, belongs to it, as far as a dropout's own shape and the window's lobes reach: in the bass,
    // where the window is long against the sweep's pace, a sixth of an octave in any case.
    private const double FlankShare = 0.25;
    private const int FlankReach = 2;
    private const int BassFlank = 4;

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
            var common = HeardTone.Median([.. beside.Select(b => b.Db[k] - b.TrendDb[k]).Where(double.IsFinite)]);
            var isTold = double.IsFinite(common);
            rest[k] = own.Db[k] - own.TrendDb[k] - (isTold ? common : 0);
            sigma[k] = isTold ? double.Hypot(own.SigmaDb[k], beside.Max(b => b.SigmaDb[k])) : own.SigmaDb[k];
        }
        var (isDip, isFlank) = (new bool[count], new bool[count]);
        for (var k = 0; k < count; k++)
        {
            var least = own.Hz[k] < UnfollowedBelowHz && beside.Length == 0 ? LeastUnfollowedDipDb : LeastDipDb;
            isDip[k] = -rest[k] > Math.Max(least, SigmasOfDip * sigma[k]);
            isFlank[k] = Math.Abs(rest[k]) > Math.Max(FlankShare * least, sigma[k]);
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
            var isBass = own.Hz[from] < UnfollowedBelowHz;
            // One beyond in any case.
            for (var k = from + direction; k >= 0 && k < count && Math.Abs(k - from) <= (isBass ? BassFlank : FlankReach); k += direction)
            {
                sound[k] = false;
                if (!isBass && !isFlank[k])
                    break;
            }
        }
    }
}
