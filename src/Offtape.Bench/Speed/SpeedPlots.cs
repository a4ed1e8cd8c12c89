using Offtape.Report;

namespace Offtape.Bench;

/// <summary>Plots of speed, from the curves of a report: a page and a comparison draw them alike.</summary>
public static class SpeedPlots
{
    /// <summary>Speed against time; null where it was not read.</summary>
    public static PlotModel? Speed(Findings findings) =>
        Find(findings, "speed") is { } curve
            ? new PlotModel("Speed", Axis.Clock("time in the capture"), Axis.Linear("against its mean", "%")).With(
                new LineSeries("", curve.X, curve.Y)
            ) with
            {
                Description = Describe(curve),
            }
            : null;

    /// <summary>The spectrum of speed, weighted and not, with the strongest lines named; null where it was not read.</summary>
    public static PlotModel? Spectrum(Findings findings)
    {
        if (Find(findings, "speedSpectrum") is not { } plain || Find(findings, "speedSpectrumWeighted") is not { } weighted)
            return null;
        var lines = findings.Readings.Where(r => r is { Quantity: "speedLine", Value: not null }).Take(4).ToArray();
        return new PlotModel("Where the wobble is", Axis.Frequency("times a second", 0.1, 200), Axis.Linear("peak", "%", min: 0)).With([
            .. lines.Select(l => new UprightMark(Hertz(l), l.Condition) { Ink = InkRole.Soft }),
            new LineSeries("unweighted", plain.X, plain.Y) { Ink = InkRole.Soft },
            new LineSeries("weighted", weighted.X, weighted.Y),
        ]);
    }

    private static ReadingCurve? Find(Findings findings, string quantity) => findings.Curves.FirstOrDefault(c => c.Quantity == quantity);

    private static double Hertz(Reading line) =>
        double.Parse(line.Condition.Split(' ')[0], System.Globalization.CultureInfo.InvariantCulture);

    private static string Describe(ReadingCurve curve)
    {
        var heard = curve.Y.Where(double.IsFinite).ToArray();
        return heard.Length == 0
            ? ""
            : $"Speed against its mean between {Quantity.Signed(heard.Min(), 3, "%")} and {Quantity.Signed(heard.Max(), 3, "%")}.";
    }
}
