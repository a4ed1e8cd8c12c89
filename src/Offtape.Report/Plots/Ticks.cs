using Offtape.Base;

namespace Offtape.Report;

/// <summary>A place on an axis: with a label, or a line only.</summary>
internal readonly record struct Tick(double Value, string Label);

/// <summary>
/// Chooses ticks: the finest step of the axis's ladder whose labels keep clear of each other. Steps are 1, 2, 5 × 10ⁿ on a linear axis,
/// the divisions of a clock on a time axis, nominal octaves (then every second, third …) on a logarithmic one.
/// </summary>
internal static class Ticks
{
    private static readonly double[] _clockSteps = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14_400, 28_800, 86_400];

    // IEC 61260-1, annex E: nominal mid-band frequencies of octaves and of third octaves, over three and over one decade.
    private static readonly double[] _nominalOctaves = [1, 2, 4, 8, 16, 31.5, 63, 125, 250, 500];
    private static readonly double[] _nominalThirds = [1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8];

    /// <summary>
    /// The ticks of <paramref name="range"/>. <paramref name="extent"/> says which stretch of the axis, in pixels, a label takes;
    /// <paramref name="gapPixels"/> of clear room are kept between labels.
    /// </summary>
    public static IReadOnlyList<Tick> Choose(AxisRange range, Func<Tick, (double From, double To)> extent, double gapPixels)
    {
        IReadOnlyList<Tick> best = [];
        foreach (var candidate in Candidates(range))
        {
            best = candidate;
            if (candidate.Count < 2 || Clear(candidate, extent, gapPixels))
                break;
        }
        return best;
    }

    /// <summary>Lines without labels between the labelled ones: the octaves of a logarithmic axis.</summary>
    public static IEnumerable<double> MinorLines(AxisRange range, IReadOnlyList<Tick> labelled)
    {
        if (range.Scale != AxisScale.Logarithmic)
            yield break;
        foreach (var tick in Nominal(range, _nominalOctaves, 3, 1))
        {
            if (!labelled.Any(l => l.Value == tick.Value))
                yield return tick.Value;
        }
    }

    private static bool Clear(IReadOnlyList<Tick> ticks, Func<Tick, (double From, double To)> extent, double gapPixels)
    {
        var stretches = ticks.Select(extent).OrderBy(s => s.From).ToArray();
        for (var i = 1; i < stretches.Length; i++)
        {
            if (stretches[i].From - stretches[i - 1].To < gapPixels)
                return false;
        }
        return true;
    }

    private static IEnumerable<IReadOnlyList<Tick>> Candidates(AxisRange range) =>
        range.Scale switch
        {
            AxisScale.Logarithmic => LogarithmicCandidates(range),
            AxisScale.Clock => ClockSteps(range.Span).Select(step => Stepped(range, step, ClockLabel)),
            _ => LinearSteps(range.Span).Select(step => Stepped(range, step, LinearLabel)),
        };

    // From a hundredth of the range at the finest upwards, until one tick at most is left.
    private static IEnumerable<(int Mantissa, int Exponent)> LinearSteps(double span)
    {
        var exponent = (int)Math.Floor(Math.Log10(span)) - 1;
        for (; exponent < 308; exponent++)
        {
            foreach (var mantissa in (int[])[1, 2, 5])
            {
                yield return (mantissa, exponent);
                if (mantissa * Math.Pow(10, exponent) > 2 * span)
                    yield break;
            }
        }
    }

    private static IEnumerable<(int Mantissa, int Exponent)> ClockSteps(double span)
    {
        foreach (var step in LinearSteps(span))
        {
            if (step.Exponent >= 0)
                break;
            yield return step;
        }
        foreach (var step in _clockSteps)
        {
            if (step >= span / 200)
                yield return ((int)step, 0);
        }
        for (var days = 2; days * 43_200.0 < span; days *= 2)
            yield return (days * 86_400, 0);
    }

    private static Tick[] Stepped(AxisRange range, (int Mantissa, int Exponent) step, Func<double, int, string> label)
    {
        // The tick is a whole number times the step: nothing adds up along the axis.
        var size = step.Mantissa * Math.Pow(10, step.Exponent);
        var slack = 1e-9 * range.Span / size;
        var first = Math.Ceiling(range.Min / size - slack);
        var last = Math.Floor(range.Max / size + slack);
        if (!(last - first <= 1000))
            return [];
        var decimals = Math.Max(0, -step.Exponent);
        var ticks = new Tick[(int)(last - first) + 1];
        for (var i = 0; i < ticks.Length; i++)
        {
            // Division by a power of ten is exact where multiplication by its reciprocal is not: 3 / 10 reads 0.3.
            var value = step.Exponent < 0 ? (first + i) * step.Mantissa / Math.Pow(10, -step.Exponent) : (first + i) * size;
            ticks[i] = new Tick(value, label(value, decimals));
        }
        return ticks;
    }

    private static IEnumerable<IReadOnlyList<Tick>> LogarithmicCandidates(AxisRange range)
    {
        var octaves = Nominal(range, _nominalOctaves, 3, 1);
        if (octaves.Count < 3)
        {
            var thirds = Nominal(range, _nominalThirds, 1, 1);
            if (thirds.Count >= 3)
                yield return thirds;
            else
                foreach (var step in LinearSteps(range.Span))
                    yield return Stepped(range, step, LinearLabel);
        }
        yield return octaves;
        foreach (var every in (int[])[2, 3, 5, 10, 20, 40])
            yield return Nominal(range, _nominalOctaves, 3, every);
    }

    /// <summary>Every so many-th nominal value within the range, counted from 1000.</summary>
    private static List<Tick> Nominal(AxisRange range, double[] pattern, int decadesPerPattern, int every)
    {
        var ticks = new List<Tick>();
        var turnsAtThousand = 3 / decadesPerPattern;
        var firstTurn = (int)Math.Floor(Math.Log10(range.Min) / decadesPerPattern) - 1;
        var lastTurn = (int)Math.Ceiling(Math.Log10(range.Max) / decadesPerPattern);
        for (var turn = firstTurn; turn <= lastTurn; turn++)
        {
            for (var i = 0; i < pattern.Length; i++)
            {
                var fromThousand = (turn - turnsAtThousand) * pattern.Length + i;
                var power = turn * decadesPerPattern;
                var value = power < 0 ? pattern[i] / Math.Pow(10, -power) : pattern[i] * Math.Pow(10, power);
                if (fromThousand % every == 0 && value >= range.Min * (1 - 1e-9) && value <= range.Max * (1 + 1e-9))
                    ticks.Add(new Tick(value, FrequencyLabel(value)));
            }
        }
        return ticks;
    }

    private static string LinearLabel(double value, int decimals) => value == 0 ? "0" : Quantity.Of(value, decimals);

    private static string ClockLabel(double seconds, int decimals) => Quantity.Clock(seconds, decimals);

    private static string FrequencyLabel(double value) => value >= 1000 ? Shortest(value / 1000) + "k" : Shortest(value);

    private static string Shortest(double value) => value.ToString("0.############");
}
