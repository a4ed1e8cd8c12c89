using Offtape.Base;

namespace Offtape.Studio;

/// <summary>What a counter showed after so much tape.</summary>
public sealed record CounterMark(double Counter, double Metres);

/// <summary>
/// A machine's counter against the tape that has run. A counter turns with a reel: after c turns of it the tape is a·c + b·c² long, with
/// a = 2π·r ÷ k and b = ±π·t ÷ k² for a reel that begins at radius r, tape of thickness t and k counts for each turn of the reel (a spiral by its
/// circles; plus for the reel that winds up, minus for the one that runs empty). Fitted to marks by least squares, through zero.
/// </summary>
public sealed class CounterCurve
{
    private readonly double _a;
    private readonly double _b;

    private CounterCurve(double a, double b, double residualMetres, double highestCounter)
    {
        (_a, _b, ResidualMetres, HighestCounter) = (a, b, residualMetres, highestCounter);
    }

    /// <summary>Root mean square of what the curve leaves of the marks, in metres; 0 for two of them, which it goes through.</summary>
    public double ResidualMetres { get; }

    /// <summary>The farthest mark: beyond it the curve is only continued.</summary>
    public double HighestCounter { get; }

    /// <summary>The curve of a reel whose measures are known.</summary>
    /// <param name="startRadiusMm">Radius where the counter stands at zero.</param>
    /// <param name="thicknessMicrometres">Of base and coating.</param>
    /// <param name="countsPerTurn">Counts for each turn of the reel.</param>
    /// <param name="isWindingUp">It grows while the tape runs; else it runs empty.</param>
    public static CounterCurve OfReel(double startRadiusMm, double thicknessMicrometres, double countsPerTurn, bool isWindingUp = true) =>
        new(
            2 * Math.PI * startRadiusMm / 1000 / countsPerTurn,
            (isWindingUp ? 1 : -1) * Math.PI * thicknessMicrometres / 1e6 / (countsPerTurn * countsPerTurn),
            0,
            0
        );

    /// <summary>The curve through marks. One mark makes a straight line; zero at zero is always known.</summary>
    /// <exception cref="Fault">Incomplete: there is none, or they fall while the counter rises.</exception>
    public static CounterCurve Fit(IReadOnlyList<CounterMark> marks)
    {
        var own = marks.Where(m => m.Counter > 0 && m.Metres > 0).OrderBy(m => m.Counter).ToArray();
        if (own.Length == 0)
            throw Fault.Incomplete(
                "The counter cannot be told in time: no mark is known",
                "Let the tape run from 0 for a known time, and note what the counter shows."
            );
        for (var i = 1; i < own.Length; i++)
        {
            if (own[i].Metres <= own[i - 1].Metres && own[i].Counter > own[i - 1].Counter)
                throw Fault.Incomplete(
                    $"The marks of the counter contradict each other: {own[i - 1].Counter:0.#} at {own[i - 1].Metres:0.00} m and {own[i].Counter:0.#} at {own[i].Metres:0.00} m",
                    "Take away the one that is wrong."
                );
        }
        var hasTwo = own.Select(m => m.Counter).Distinct().Count() >= 2;
        var (a, b) = hasTwo ? Bend(own) : (own.Sum(m => m.Metres) / own.Sum(m => m.Counter), 0);
        var curve = new CounterCurve(a, b, 0, own[^1].Counter);
        var residual = Math.Sqrt(own.Average(m => Math.Pow(curve.MetresAt(m.Counter) - m.Metres, 2)));
        return new CounterCurve(a, b, residual, own[^1].Counter);
    }

    public double MetresAt(double counter) => (_a + _b * counter) * counter;

    /// <summary>Null where the reel is empty before that.</summary>
    public double? CounterAt(double metres)
    {
        if (_b == 0)
            return metres / _a;
        var root = _a * _a + 4 * _b * metres;
        return root < 0 ? null : 2 * metres / (_a + Math.Sqrt(root));
    }

    /// <summary>What the reel measures, when the tape's thickness is known: counts a turn, and its radius at zero; null for a straight line.</summary>
    public (double CountsPerTurn, double StartRadiusMm)? Reel(double thicknessMicrometres)
    {
        if (_b == 0)
            return null;
        var counts = Math.Sqrt(Math.PI * thicknessMicrometres / 1e6 / Math.Abs(_b));
        return (counts, _a * counts / (2 * Math.PI) * 1000);
    }

    private static (double A, double B) Bend(CounterMark[] marks)
    {
        // Normal equations of metres ≈ a·c + b·c².
        var (s2, s3, s4, t1, t2) = (0.0, 0.0, 0.0, 0.0, 0.0);
        foreach (var (c, metres) in marks)
        {
            s2 += c * c;
            s3 += c * c * c;
            s4 += c * c * c * c;
            t1 += c * metres;
            t2 += c * c * metres;
        }
        var determinant = s2 * s4 - s3 * s3;
        return ((t1 * s4 - t2 * s3) / determinant, (s2 * t2 - s3 * t1) / determinant);
    }
}
