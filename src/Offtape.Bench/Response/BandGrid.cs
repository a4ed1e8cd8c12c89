namespace Offtape.Bench;

/// <summary>
/// The frequencies that responses are read at: twenty-four to the octave, base ten (80 to the decade, a whole number of them from 1 kHz), and
/// means over a third of an octave about each.
/// </summary>
internal static class BandGrid
{
    internal const int PerDecade = 80;

    /// <summary>Points on either side that a third of an octave reaches (base ten, IEC 61260-1: a tenth of a decade in all).</summary>
    internal const int HalfThird = PerDecade / 20;

    /// <summary>The grid from a lower to an upper frequency.</summary>
    internal static double[] Between(double fromHz, double toHz)
    {
        var first = (int)Math.Ceiling(PerDecade * Math.Log10(fromHz / 1000) - 1e-9);
        var last = (int)Math.Floor(PerDecade * Math.Log10(toHz / 1000) + 1e-9);
        return [.. Enumerable.Range(first, Math.Max(0, last - first + 1)).Select(k => 1000 * Math.Pow(10, (double)k / PerDecade))];
    }

    /// <summary>Place of the grid point nearest to a frequency, held within the grid.</summary>
    internal static int Nearest(double[] gridHz, double frequencyHz) =>
        Math.Clamp((int)Math.Round(PerDecade * Math.Log10(frequencyHz / gridHz[0])), 0, gridHz.Length - 1);

    /// <summary>Means over a third of an octave, the points at its ends with half their weight; not a number where the grid does not reach so far.</summary>
    internal static double[] Thirds(double[] values)
    {
        var means = new double[values.Length];
        Array.Fill(means, double.NaN);
        for (var k = HalfThird; k < values.Length - HalfThird; k++)
        {
            var sum = -(values[k - HalfThird] + values[k + HalfThird]) / 2;
            for (var i = k - HalfThird; i <= k + HalfThird; i++)
                sum += values[i];
            means[k] = sum / (2 * HalfThird);
        }
        return means;
    }
}
