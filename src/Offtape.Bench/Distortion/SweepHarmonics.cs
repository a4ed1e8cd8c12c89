using System.Numerics;
using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>Harmonics against frequency, and the curve of the tape, from the sweeps.</summary>
internal static class SweepHarmonics
{
    private const string Method = "harmonics of a synchronised sweep, wobble followed and taken out; means over a third of an octave";
    private const string Source = "Novak, Lotton and Simon, JAES 63(10), 2015";

    // The middle of the band, where neither equalisation nor the heads have a part in it.
    private const double CurveFromHz = 250;
    private const double CurveToHz = 800;
    private static readonly string[] Names =
    [
        "",
        "",
        "secondHarmonicSweep",
        "thirdHarmonicSweep",
        "fourthHarmonicSweep",
        "fifthHarmonicSweep",
    ];

    internal static Findings Of(SweepAnalysis sweeps)
    {
        var (readings, curves) = (new List<Reading>(), new List<ReadingCurve>());
        foreach (var channel in sweeps.Channels)
        {
            foreach (var level in sweeps.LevelsDb)
            {
                // A sweep of both channels at once when there is one: how the machine is used.
                if (sweeps.Of(channel, level).OrderByDescending(s => s.Part.Channels.Count).FirstOrDefault() is not { } sweep)
                    continue;
                for (var order = 2; order <= SweepReading.HarmonicCount; order++)
                    curves.Add(Curve(sweep, order));
            }
            if (sweeps.Of(channel, 0).OrderByDescending(s => s.Part.Channels.Count).FirstOrDefault() is { } atOperatingLevel)
                readings.AddRange(Polynomial(atOperatingLevel));
        }
        return new Findings { Readings = readings, Curves = curves };
    }

    private static ReadingCurve Curve(SweepReading sweep, int order)
    {
        var (first, power) = (BandGrid.Thirds(sweep.Power(1)), BandGrid.Thirds(sweep.Power(order)));
        var variance = BandGrid.Thirds(sweep.PowerVariance(order));
        var (percent, uncertainty) = (new double[first.Length], new double[first.Length]);
        for (var k = 0; k < first.Length; k++)
        {
            // Eight points to a third of an octave, independent where each is averaged over its own width.
            var third = order * sweep.Hz[k] * (Math.Pow(10, 0.05) - Math.Pow(10, -0.05));
            var sigma = Math.Sqrt(variance[k] * Math.Min(1, sweep.WidthHz[order - 1][k] / third));
            var isClear = power[k] > 3 * sigma && first[k] > 0;
            percent[k] = isClear ? 100 * Math.Sqrt(power[k] / first[k]) : double.NaN;
            uncertainty[k] = isClear ? percent[k] * sigma / power[k] : double.NaN;
        }
        return new ReadingCurve
        {
            Quantity = Names[order],
            Channel = sweep.Channel + 1,
            Condition = SweepAnalysis.Words(sweep.Part.LevelDb),
            XUnit = "Hz",
            YUnit = "%",
            X = sweep.Hz,
            Y = percent,
            Uncertainty = uncertainty,
            Method = Method,
            Standard = Source,
        };
    }

    /// <summary>
    /// y = x + a2·x² + a3·x³ + …, x being the output that a straight machine would give and 1 the peak of operating level.
    /// </summary>
    private static IEnumerable<Reading> Polynomial(SweepReading sweep)
    {
        var (sum, noise, count) = (new Complex[SweepReading.HarmonicCount], new double[SweepReading.HarmonicCount], 0);
        for (var k = 0; k < sweep.Hz.Length; k++)
        {
            if (sweep.Hz[k] is < CurveFromHz or > CurveToHz || !sweep.IsFollowed[k])
                continue;
            var own = sweep.Harmonics[0][k];
            var turn = Complex.FromPolarCoordinates(1, -own.Phase);
            var turned = Complex.One;
            for (var n = 0; n < sum.Length; n++)
            {
                turned *= turn;
                sum[n] += sweep.Harmonics[n][k] * turned / own.Magnitude;
                noise[n] += sweep.NoisePower[n][k] / (own.Magnitude * own.Magnitude);
            }
            count++;
        }
        string[] names = ["", "", "squareTerm", "cubicTerm", "fourthPowerTerm", "fifthPowerTerm"];
        if (count == 0)
            yield break;
        var relative = Array.ConvertAll(sum, s => s / count);
        var coefficients = SinePolynomial.Coefficients(relative, 1);
        for (var power = 2; power <= SweepReading.HarmonicCount; power++)
        {
            // The highest power of a kind comes from its harmonic times 2^(n−1); lower ones take over a share of the higher one's error.
            var sigma = 0.0;
            for (var n = power; n <= SweepReading.HarmonicCount; n += 2)
                sigma += Math.Pow(2, 2 * (n - 1)) * noise[n - 1] / count / count / 2;
            yield return new Reading
            {
                Quantity = names[power],
                Channel = sweep.Channel + 1,
                Condition = "250 to 800 Hz, 0 dB",
                Unit = "",
                Value = coefficients[power - 1] / coefficients[0],
                Uncertainty = 2 * Math.Sqrt(sigma),
                Method =
                    "curve y = x + a2·x² + a3·x³ + a4·x⁴ + a5·x⁵ of the harmonics of a synchronised sweep, x = 1 at the peak of operating level",
                Standard = Source,
            };
        }
    }
}
