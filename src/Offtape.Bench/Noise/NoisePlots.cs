using Offtape.Base;
using Offtape.Report;

namespace Offtape.Bench;

/// <summary>The noise of a machine, drawn.</summary>
public static class NoisePlots
{
    /// <summary>Noise in third octaves of every channel and quiet stretch, with the hum's frequency marked; null where none was read.</summary>
    public static PlotModel? Spectrum(Findings findings)
    {
        ReadingCurve[] curves = [.. findings.Curves.Where(c => c.Quantity == "noiseSpectrum")];
        if (curves.Length == 0)
            return null;
        var plot = new PlotModel("Noise in third octaves", Axis.Frequency(min: 20, max: 22_400), Axis.Linear("level", "dBFS"))
        {
            Description =
                $"Noise of {Words.List([.. curves.Select(c => c.Condition).Distinct()])} in third octaves, "
                + $"{Words.Count(curves.Select(c => c.Channel).Distinct().Count(), "channel")}.",
        };
        return plot.With([.. curves.Select(Line), .. Hum(findings)]);
    }

    private static LineSeries Line(ReadingCurve curve) =>
        new($"{curve.Condition}, channel {curve.Channel}", curve.X, curve.Y)
        {
            Ink = curve.Channel == 1 ? InkRole.Ink : InkRole.Accent,
            IsDashed = curve.Condition != QuietStretch.Recorded,
        };

    // One mark is enough: its harmonics stand where they must.
    private static IEnumerable<Series> Hum(Findings findings) =>
        findings
            .Curves.Where(c => c.Quantity == "humLines" && c.Condition == QuietStretch.Recorded && c.X[0] < 70)
            .Take(1)
            .Select(c => new UprightMark(c.X[0], $"hum, {Words.Number(c.X[0], 1)} Hz"));
}
