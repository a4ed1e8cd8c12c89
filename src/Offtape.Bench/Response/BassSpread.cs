namespace Offtape.Bench;

/// <summary>
/// How much a third of an octave in the bass differs from one sweep to the next, where the wobble is not followed: a change of speed within it
/// makes the sweep pass it faster or slower than it was sent. Read from the sweeps themselves, by what they disagree in.
/// </summary>
internal static class BassSpread
{
    private const double FromHz = 25;

    // Where the wobble is followed: what levels differ in there is compression, in the bass by as much.
    private const double ReferenceFromHz = 200;
    private const double ReferenceToHz = 800;
    private const int FewestThirds = 4;

    /// <param name="sweeps">Of one channel, at any levels.</param>
    /// <param name="toHz">Where following begins.</param>
    /// <returns>A standard deviation of one sweep's thirds in dB, its noise included; null where there are too few sweeps to tell.</returns>
    internal static double? Db(IReadOnlyList<SweepReading> sweeps, double toHz)
    {
        const int third = 2 * BandGrid.HalfThird;
        if (sweeps.Count < 3)
            return null;
        var all = SweepDifferences.Of(sweeps, 3);
        var (sum, count) = (0.0, 0);
        foreach (var one in all)
        {
            var reference = Mean(one, BandGrid.Nearest(one.Hz, ReferenceFromHz), BandGrid.Nearest(one.Hz, ReferenceToHz));
            var last = BandGrid.Nearest(one.Hz, toHz);
            for (var k = BandGrid.Nearest(one.Hz, FromHz); k + third <= last; k += third)
            {
                var here = Mean(one, k, k + third);
                if (!double.IsFinite(here - reference))
                    continue;
                sum += (here - reference) * (here - reference);
                count++;
            }
        }
        // Against their own middle sweeps differ less than against the truth.
        return count < FewestThirds * sweeps.Count ? null : Math.Sqrt(sum / count * sweeps.Count / (sweeps.Count - 1));
    }

    private static double Mean(SweepDifferences one, int from, int toExcl)
    {
        var (sum, count) = (0.0, 0);
        for (var k = from; k < toExcl; k++)
        {
            if (!double.IsFinite(one.Db[k]) || !one.Reading.IsFollowed[k])
                continue;
            sum += one.Db[k];
            count++;
        }
        // Half of them at least: the rest fell out.
        return 2 * count < toExcl - from ? double.NaN : sum / count;
    }
}
