using Offtape.Base;
using Offtape.Report;

namespace Offtape.Bench;

/// <summary>How the channels stand to each other, drawn.</summary>
public static class ChannelPlots
{
    /// <summary>Delay between channels against frequency with its uncertainty; null where none was read.</summary>
    public static PlotModel? Delay(Findings findings)
    {
        ReadingCurve[] curves = [.. findings.Curves.Where(c => c.Quantity == "interChannelDelay")];
        if (curves.Length == 0)
            return null;
        var series = new List<Series>();
        foreach (var curve in curves)
        {
            var words = curve.Condition.Length == 0 ? "third octaves" : curve.Condition;
            series.Add(new BandSeries("", curve.X, Beside(curve, -1), Beside(curve, 1)));
            series.Add(new LineSeries(words, curve.X, curve.Y));
        }
        series.AddRange(
            findings
                .Readings.Where(r => r.Quantity == "interChannelDelay" && r.Value is not null)
                .Select(r => new LevelMark(r.Value!.Value, $"{Words.Number(r.Value.Value, 1)} µs in all"))
        );
        return new PlotModel("Delay between channels", Axis.Frequency(min: 100, max: 20_000), Axis.Linear("late by", "µs"))
        {
            Description = "How late the second channel is against the first, in third octaves, with what each may be off by.",
        }.With([.. series]);
    }

    /// <summary>Crosstalk both ways against frequency, rings where noise hides it and only a limit is known; null where none was read.</summary>
    public static PlotModel? Crosstalk(Findings findings)
    {
        ReadingCurve[] curves = [.. findings.Curves.Where(c => c.Quantity == "crosstalk")];
        ReadingCurve[] limits = [.. findings.Curves.Where(c => c.Quantity == "crosstalkLimit")];
        if (curves.Length == 0 && limits.Length == 0)
            return null;
        return new PlotModel("Crosstalk", Axis.Frequency(min: 31.5, max: 20_000), Axis.Linear("against the channel's own sound", "dB"))
        {
            Description =
                $"What of one channel is heard in another, {Words.List([.. curves.Select(c => c.Condition)])}; "
                + "rings are limits, where noise hides it.",
        }.With([
            .. curves.Select((c, i) => new LineSeries(c.Condition, c.X, c.Y) { Ink = Ink(i) }).Where(l => l.Y.Any(double.IsFinite)),
            .. limits.Select(c => new PointSeries($"{c.Condition}, at most", c.X, c.Y)
            {
                Ink = Ink(Math.Max(0, Array.FindIndex(curves, o => o.Condition == c.Condition))),
                IsHollow = true,
            }),
        ]);
    }

    private static InkRole Ink(int index) => index % 2 == 0 ? InkRole.Ink : InkRole.Accent;

    private static double[] Beside(ReadingCurve curve, int sign) => [.. curve.Y.Select((y, i) => y + sign * curve.Uncertainty[i])];
}
