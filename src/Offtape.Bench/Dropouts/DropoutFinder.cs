using Offtape.Base;

namespace Offtape.Bench;

/// <summary>Finds dropouts in the envelope of a steady tone.</summary>
internal static class DropoutFinder
{
    /// <summary>Shallower ones are the usual unrest of tape (common practice, no source).</summary>
    internal const double LeastDepthDb = 3;

    // What is longer is a fault of another kind: a fold, a stop, a level that fell.
    private const double LongestSeconds = 1;

    // A dropout is over when the level is back within this of what it was.
    private const double BackDb = 1.5;

    // The level that a dropout is measured from: the median over this long to either side.
    private const double AboutSeconds = 0.75;

    internal static List<Dropout> Find(HeardTone tone)
    {
        var found = new List<Dropout>();
        var reference = LevelAbout(tone);
        var loss = new double[tone.Envelope.Length];
        for (var i = 0; i < loss.Length; i++)
            loss[i] = Conversions.AmplitudeToDb(reference[i] / Math.Max(tone.Envelope[i], 1e-12));
        for (var i = 0; i < loss.Length; i++)
        {
            if (loss[i] < LeastDepthDb)
                continue;
            var (from, to, deepest) = Extent(loss, i);
            var width = Crossing(loss, deepest, 1) - Crossing(loss, deepest, -1);
            // One that runs into an end of the tone cannot be measured.
            if (from > 0 && to < loss.Length - 1 && width < LongestSeconds * tone.RateHz)
                found.Add(new Dropout(tone.SendSecondsAt(deepest), loss[deepest], 1000 * width / tone.RateHz));
            i = to;
        }
        return found;
    }

    private static (int From, int To, int Deepest) Extent(double[] loss, int first)
    {
        var (from, to, deepest) = (first, first, first);
        while (to < loss.Length - 1 && loss[to] > BackDb)
        {
            to++;
            if (loss[to] > loss[deepest])
                deepest = to;
        }
        while (from > 0 && loss[from] > BackDb)
            from--;
        return (from, to, deepest);
    }

    // Where, from the deepest place on, the loss falls through half of the depth: straight between two values.
    private static double Crossing(double[] loss, int deepest, int step)
    {
        var half = loss[deepest] / 2;
        var i = deepest;
        while (i + step >= 0 && i + step < loss.Length && loss[i + step] > half)
            i += step;
        var next = Math.Clamp(i + step, 0, loss.Length - 1);
        return next == i || loss[i] == loss[next] ? i : i + step * (loss[i] - half) / (loss[i] - loss[next]);
    }

    private static double[] LevelAbout(HeardTone tone)
    {
        var envelope = tone.Envelope;
        var reach = (int)(AboutSeconds * tone.RateHz);
        // A median every tenth of a second, held between.
        var step = Math.Max(1, (int)(0.1 * tone.RateHz));
        var level = new double[envelope.Length];
        for (var from = 0; from < level.Length; from += step)
        {
            var middle = from + step / 2;
            var (a, b) = (Math.Max(0, middle - reach), Math.Min(envelope.Length, middle + reach));
            level.AsSpan(from, Math.Min(step, level.Length - from)).Fill(HeardTone.Median(Thinned(envelope.AsSpan(a, b - a))));
        }
        return level;
    }

    // A few hundred values are enough for a median.
    private static double[] Thinned(ReadOnlySpan<double> values)
    {
        var stride = Math.Max(1, values.Length / 400);
        var thinned = new double[(values.Length + stride - 1) / stride];
        for (var i = 0; i < thinned.Length; i++)
            thinned[i] = values[i * stride];
        return thinned;
    }
}
