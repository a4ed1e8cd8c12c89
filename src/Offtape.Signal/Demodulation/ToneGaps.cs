namespace Offtape.Signal;

/// <summary>Where a demodulated tone means nothing: dropouts, and moments in which a click is louder than the noise ever is.</summary>
internal static class ToneGaps
{
    // A dropout this deep has let the noise come up by as much; what is less deep still tells the frequency.
    private const double DropoutNepers = -1.15;

    // Levels move slowly by themselves; this is what "slowly" means.
    private const double LevelSeconds = 0.5;

    // Noise is beyond eight of its own standard deviations once in some 10^15 values.
    private const double ClickSigmas = 8;

    // A click rings for about as long as the filter before it, whose main lobe is a millisecond wide.
    private const double MarginSeconds = 0.002;

    internal static bool[] Find(double[] level, ToneBand band)
    {
        var gaps = new bool[level.Length];
        var window = Math.Max(1, (int)(LevelSeconds * band.RateHz));
        for (var from = 0; from < level.Length; from += window)
        {
            var to = Math.Min(level.Length, from + window);
            var usual = MedianOf(level.AsSpan(from, to - from));
            for (var i = from; i < to; i++)
                gaps[i] = level[i] < usual + DropoutNepers;
        }
        MarkClicks(level, gaps);
        return Widened(gaps, (int)Math.Ceiling(MarginSeconds * band.RateHz));
    }

    internal static double MedianOf(ReadOnlySpan<double> values)
    {
        if (values.IsEmpty)
            return 0;
        // Every value of a short curve, and some thousands of a long one: a median needs no more.
        var every = Math.Max(1, values.Length / 8192);
        var picked = new double[(values.Length - 1) / every + 1];
        for (var i = 0; i < picked.Length; i++)
            picked[i] = values[i * every];
        Array.Sort(picked);
        return picked[picked.Length / 2];
    }

    // A click moves the level as much as the phase, which a jerk of the tape does not: only the level is looked at. Its third difference
    // leaves noise and clicks, and takes away what moves as slowly as the tape's own unevenness.
    private static void MarkClicks(double[] values, bool[] gaps)
    {
        if (values.Length < 8)
            return;
        var rough = new double[values.Length - 3];
        var size = new double[rough.Length];
        for (var i = 0; i < rough.Length; i++)
        {
            rough[i] = values[i + 3] - 3 * values[i + 2] + 3 * values[i + 1] - values[i];
            size[i] = Math.Abs(rough[i]);
        }
        // Median of |x| of a normal distribution: 0.6745 of its standard deviation.
        var limit = ClickSigmas * MedianOf(size) / 0.6745;
        for (var i = 0; i < rough.Length; i++)
            if (size[i] > limit && limit > 0)
                gaps[i] = gaps[i + 1] = gaps[i + 2] = gaps[i + 3] = true;
    }

    private static bool[] Widened(bool[] gaps, int margin)
    {
        var wide = new bool[gaps.Length];
        var until = -1;
        for (var i = 0; i < gaps.Length; i++)
        {
            until = gaps[i] ? i + margin : until;
            wide[i] = i <= until;
        }
        until = gaps.Length;
        for (var i = gaps.Length - 1; i >= 0; i--)
        {
            until = gaps[i] ? i - margin : until;
            wide[i] |= i >= until;
        }
        return wide;
    }
}
