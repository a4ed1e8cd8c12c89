using Offtape.Base;

namespace Offtape.Bench;

/// <summary>
/// The bend of a machine as a curve without memory, out of a report's staircase: the odd function whose fundamental and third harmonic at every
/// step are nearest to those measured (Chebyshev polynomials by weighted least squares; each harmonic of a sine through a polynomial is linear in
/// its coefficients). Even harmonics stand beside it as a power of their own: their sign is not in a report. In and out are in units of a
/// sine's peak at operating level.
/// </summary>
public sealed class StaticCurve
{
    // Odd orders up to the eleventh: tape bends smoothly, and thirteen steps carry no more.
    private const int TermCount = 6;
    private const int AnglePoints = 64;

    // What a curve without memory leaves of a machine with equalisers on both sides of its bend; keeps the weights of clean captures finite.
    private const double FloorShare = 0.003;
    private const double FloorOfHarmonic = 0.02;

    private readonly double[] _terms;
    private readonly double[] _secondSent;
    private readonly double[] _secondRatio;
    private readonly double _top;

    private StaticCurve(double frequencyHz, double top, double[] terms, double[] secondSent, double[] secondRatio, double misfitDb)
    {
        (FrequencyHz, _top, _terms, MisfitDb) = (frequencyHz, top, terms, misfitDb);
        (_secondSent, _secondRatio) = (secondSent, secondRatio);
    }

    /// <summary>Of the staircase it was read from.</summary>
    public double FrequencyHz { get; }

    /// <summary>Root mean square of what the curve leaves of the measured output, in dB: large where the machine is not such a curve.</summary>
    public double MisfitDb { get; }

    /// <summary>The loudest step: nothing is known beyond it.</summary>
    public double HighestSentDb => Conversions.AmplitudeToDb(_top);

    /// <summary>The curve of a channel whose staircase is nearest to a frequency.</summary>
    /// <param name="report">The report.</param>
    /// <param name="channel">From 1.</param>
    /// <param name="nearHz">Where the energy of a sound is.</param>
    /// <returns>Null where the report has no staircase with harmonics.</returns>
    public static StaticCurve? Of(BenchReport report, int channel, double nearHz)
    {
        var candidates =
            from third in report.Curves
            where third.Quantity == "thirdHarmonic" && third.Channel == channel && third.XUnit == "dB" && third.X.Length >= TermCount
            let hz = FrequencyOf(third.Condition)
            where hz is not null
            let output = report.Curves.FirstOrDefault(c =>
                c.Quantity == "outputLevel" && c.Channel == channel && c.Condition == third.Condition && c.X.SequenceEqual(third.X)
            )
            where output is not null && output.Y.All(double.IsFinite)
            orderby Math.Abs(Math.Log(hz!.Value / nearHz))
            select Fit(
                hz.Value,
                output,
                third,
                report.Curves.FirstOrDefault(c => c.Quantity == "secondHarmonic" && c.Channel == channel && c.Condition == third.Condition)
            );
        return candidates.FirstOrDefault();
    }

    /// <summary>What comes out for a moment of what goes in; beyond the loudest step as steep as there, and never falling.</summary>
    public double OddAt(double input)
    {
        var size = Math.Abs(input);
        if (size <= _top)
            return Math.Sign(input) * Sum(size / _top);
        const double step = 1e-3;
        var slope = Math.Max(0, (Sum(1) - Sum(1 - step)) / (step * _top));
        return Math.Sign(input) * (Sum(1) + slope * (size - _top));
    }

    /// <summary>The even part, up to its sign: twice the second harmonic of a sine of that peak.</summary>
    public double EvenAt(double input)
    {
        var size = Math.Abs(input);
        if (size <= 0 || _secondSent.Length == 0)
            return 0;
        var sentDb = Conversions.AmplitudeToDb(size);
        // Below the lowest step where it stands clear it goes with the square, as a bend does.
        var ratio =
            sentDb <= _secondSent[0]
                ? _secondRatio[0] * size / Conversions.DbToAmplitude(_secondSent[0])
                : LevelCurve.At(_secondSent, _secondRatio, Math.Min(sentDb, _secondSent[^1]));
        return 2 * Math.Max(0, ratio) * Math.Abs(OddAt(size));
    }

    /// <summary>The level of a sine that comes out at another; null where no step gives as much.</summary>
    public double? SentForOutput(double outputDb)
    {
        var (low, high) = (-100.0, HighestSentDb);
        if (OutputDb(high) < outputDb)
            return null;
        for (var i = 0; i < 60; i++)
        {
            var middle = (low + high) / 2;
            if (OutputDb(middle) < outputDb)
                low = middle;
            else
                high = middle;
        }
        return (low + high) / 2;
    }

    /// <summary>Fundamental of what comes out for a sine, in dB.</summary>
    public double OutputDb(double sentDb) => Conversions.AmplitudeToDb(Harmonic(Conversions.DbToAmplitude(sentDb), 1));

    /// <summary>A harmonic of what comes out for a sine of a peak; negative where it is turned over against a cosine.</summary>
    public double Harmonic(double peak, int order)
    {
        var sum = 0.0;
        for (var i = 0; i < AnglePoints; i++)
        {
            var angle = Math.PI * (i + 0.5) / AnglePoints;
            sum += OddAt(peak * Math.Cos(angle)) * Math.Cos(order * angle);
        }
        return 2 * sum / AnglePoints;
    }

    private double Sum(double share)
    {
        var (sum, before, last) = (0.0, 1.0, share);
        for (var k = 0; k < TermCount; k++)
        {
            sum += _terms[k] * last;
            // Two steps of the recurrence: only odd orders are in it.
            var even = 2 * share * last - before;
            (before, last) = (even, 2 * share * even - last);
        }
        return sum;
    }

    private static StaticCurve Fit(double hz, ReadingCurve output, ReadingCurve third, ReadingCurve? second)
    {
        var top = Conversions.DbToAmplitude(output.X[^1]);
        var rows = new List<(double[] Row, double Value, double Sigma)>();
        for (var i = 0; i < output.X.Length; i++)
        {
            var peak = Conversions.DbToAmplitude(output.X[i]);
            var fundamental = Conversions.DbToAmplitude(output.Y[i]);
            var sigma = fundamental * double.Hypot(At(output.Uncertainty, i) / 2 / 8.686, FloorShare);
            rows.Add((Harmonics(peak / top, 1), fundamental, sigma));
            if (!double.IsFinite(third.Y[i]))
                continue;
            // A curve that bends over turns its third harmonic against the fundamental.
            var ratio = third.Y[i] / 100;
            rows.Add(
                (
                    Harmonics(peak / top, 3),
                    -ratio * fundamental,
                    fundamental * double.Hypot(At(third.Uncertainty, i) / 200, FloorOfHarmonic * ratio)
                )
            );
        }
        var terms = LeastSquares(rows);
        var clear = second is null ? [] : Enumerable.Range(0, second.X.Length).Where(i => double.IsFinite(second.Y[i])).ToArray();
        var curve = new StaticCurve(
            hz,
            top,
            terms,
            Array.ConvertAll(clear, i => second!.X[i]),
            Array.ConvertAll(clear, i => second!.Y[i] / 100),
            0
        );
        var misfit = Math.Sqrt(output.X.Select((x, i) => Math.Pow(curve.OutputDb(x) - output.Y[i], 2)).Average());
        return new StaticCurve(hz, top, terms, curve._secondSent, curve._secondRatio, misfit);
    }

    private static double At(double[] values, int i) => values.Length > i && double.IsFinite(values[i]) ? values[i] : 0;

    // Of each odd Chebyshev polynomial of a cosine that reaches up to a share of the range.
    private static double[] Harmonics(double share, int order)
    {
        var row = new double[TermCount];
        for (var i = 0; i < AnglePoints; i++)
        {
            var angle = Math.PI * (i + 0.5) / AnglePoints;
            var inner = Math.Acos(share * Math.Cos(angle));
            for (var k = 0; k < TermCount; k++)
                row[k] += 2.0 / AnglePoints * Math.Cos((2 * k + 1) * inner) * Math.Cos(order * angle);
        }
        return row;
    }

    private static double[] LeastSquares(List<(double[] Row, double Value, double Sigma)> rows)
    {
        var matrix = new double[TermCount, TermCount + 1];
        foreach (var (row, value, sigma) in rows)
        {
            for (var i = 0; i < TermCount; i++)
            {
                for (var j = 0; j < TermCount; j++)
                    matrix[i, j] += row[i] * row[j] / (sigma * sigma);
                matrix[i, TermCount] += row[i] * value / (sigma * sigma);
            }
        }
        // Gauss and Jordan, with the largest element of the column first.
        for (var k = 0; k < TermCount; k++)
        {
            var pivot = Enumerable.Range(k, TermCount - k).MaxBy(i => Math.Abs(matrix[i, k]));
            for (var j = 0; j <= TermCount; j++)
                (matrix[k, j], matrix[pivot, j]) = (matrix[pivot, j], matrix[k, j]);
            for (var i = 0; i < TermCount; i++)
            {
                if (i == k)
                    continue;
                var factor = matrix[i, k] / matrix[k, k];
                for (var j = k; j <= TermCount; j++)
                    matrix[i, j] -= factor * matrix[k, j];
            }
        }
        return [.. Enumerable.Range(0, TermCount).Select(k => matrix[k, TermCount] / matrix[k, k])];
    }

    // "315 Hz", "1 kHz", as conditions have it.
    private static double? FrequencyOf(string condition)
    {
        var words = condition.Split(' ');
        if (words.Length != 2 || !double.TryParse(words[0], out var number))
            return null;
        return words[1] switch
        {
            "Hz" => number,
            "kHz" => number * 1000,
            _ => null,
        };
    }
}
