using Offtape.Bench;

namespace Offtape.Studio.Tests;

/// <summary>Reports of a bench made by hand, for one channel.</summary>
internal static class Reports
{
    internal static readonly double[] Steps = [-30, -24, -18, -12, -8, -4, -2, 0, 2, 4, 6, 8, 10];

    internal static BenchReport With(IEnumerable<ReadingCurve> curves, params Reading[] readings) =>
        new()
        {
            Machine = "deck",
            How = HowTaken.Rewound,
            Capture = "capture.wav",
            SheetId = "sheet",
            OperatingLevelDbfs = -12,
            Facts = new ReportFacts(),
            Runs = [],
            Parts = [],
            Readings = [Reading("pathGain", "dB", 0), .. readings],
            Curves = [.. curves],
            Notices = [],
            Summary = "",
        };

    internal static Reading Reading(string quantity, string unit, double value, string condition = "") =>
        new()
        {
            Quantity = quantity,
            Channel = 1,
            Condition = condition,
            Unit = unit,
            Value = value,
            Method = "by hand",
        };

    internal static ReadingCurve Curve(string quantity, string condition, string xUnit, double[] x, double[] y) =>
        new()
        {
            Quantity = quantity,
            Channel = 1,
            Condition = condition,
            XUnit = xUnit,
            YUnit = "",
            X = x,
            Y = y,
            Uncertainty = [.. y.Select(_ => 0.01)],
            Method = "by hand",
        };

    /// <summary>The staircase of a curve without memory, by its Fourier sums over 4096 points.</summary>
    internal static ReadingCurve[] Staircase(Func<double, double> curve, string condition = "315 Hz")
    {
        var harmonics = Steps
            .Select(s => Math.Pow(10, s / 20))
            .Select(a => Enumerable.Range(0, 4).Select(n => Math.Abs(Harmonic(curve, a, n))).ToArray())
            .ToArray();
        return
        [
            Curve("outputLevel", condition, "dB", Steps, [.. harmonics.Select(h => 20 * Math.Log10(h[1]))]),
            Curve("secondHarmonic", condition, "dB", Steps, [.. harmonics.Select(h => 100 * h[2] / h[1])]),
            Curve("thirdHarmonic", condition, "dB", Steps, [.. harmonics.Select(h => 100 * h[3] / h[1])]),
        ];
    }

    internal static double Harmonic(Func<double, double> curve, double peak, int order)
    {
        const int points = 4096;
        return 2.0
            / points
            * Enumerable
                .Range(0, points)
                .Sum(i => curve(peak * Math.Cos(2 * Math.PI * i / points)) * Math.Cos(2 * Math.PI * order * i / points));
    }
}
