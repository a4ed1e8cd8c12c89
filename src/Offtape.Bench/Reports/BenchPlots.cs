using Offtape.Report;

namespace Offtape.Bench;

/// <summary>The plots of a report, made from its curves alone.</summary>
public static class BenchPlots
{
    private const double NarrowestLogRatio = 4;
    private const int MostSeries = 6;

    private static readonly InkRole[] Inks = [InkRole.Accent, InkRole.Ink, InkRole.Warn, InkRole.Soft, InkRole.Bad];

    // In the order of the page. A quantity that does not stand here is drawn plainly, under its own name.
    private static readonly PlotSpec[] Known =
    [
        new("response", "Response", "level against 1 kHz", "How evenly each channel reproduces, by the sweep at −20 dB where there is one.")
        {
            MinX = 20,
            MaxX = 20_000,
            MinY = -20,
            MaxY = 6,
            Mark = (-3, "−3 dB"),
        },
        new("speed", "Speed", "speed against its mean", "The tape's speed over the long tone."),
        new("speedSpectrum", "What the speed moves by", "peak", "Lines stand where something turns; the floor is what moves at random.")
        {
            MinX = 0.2,
            MaxX = 200,
        },
        new("speedSpectrumWeighted", "The same as the ear weighs it", "peak", "Weighted by IEC 60386.") { MinX = 0.2, MaxX = 200 },
        new("thirdHarmonic", "Distortion against level", "third harmonic", "3 % is where a tape is called full.")
        {
            Scale = AxisScale.Logarithmic,
            Mark = (3, "3 %"),
        },
        new("noiseSpectrum", "Noise", "level of each third of an octave", "What is heard when nothing is played.")
        {
            MinX = 20,
            MaxX = 20_000,
        },
        new(
            "interChannelDelay",
            "Delay between the channels",
            "second against first",
            "A straight line is azimuth; a slope, phase of the heads."
        ),
        new("crosstalk", "Crosstalk", "level in the silent channel", "How much of one channel is heard in the other.")
        {
            MinX = 20,
            MaxX = 20_000,
        },
    ];

    // Read by programs, too fine or too plain for a picture of its own.
    private static readonly string[] NotDrawn = ["responseFine", "dropouts", "humLines", "crosstalkLimit"];

    /// <summary>File name, plot and the sentence under it, in the order of the page.</summary>
    public static IReadOnlyList<(string Name, PlotModel Plot, string Says)> Of(BenchReport report)
    {
        var plots = new List<(string, PlotModel, string)>();
        var quantities = report.Curves.Select(c => c.Quantity).Distinct().Where(q => !NotDrawn.Contains(q)).ToArray();
        foreach (var spec in Known.Where(k => quantities.Contains(k.Quantity)))
            Add(spec);
        foreach (var quantity in quantities.Where(q => !Array.Exists(Known, k => k.Quantity == q)))
            Add(new PlotSpec(quantity, QuantityWords.Of(quantity), QuantityWords.Of(quantity), ""));
        return plots;

        void Add(PlotSpec spec)
        {
            var curves = report.Curves.Where(c => c.Quantity == spec.Quantity && c.X.Length > 1 && c.Y.Any(double.IsFinite)).ToArray();
            if (spec.Conditions.Count > 0)
                curves = [.. curves.Where(c => spec.Conditions.Any(k => c.Condition.StartsWith(k, StringComparison.Ordinal)))];
            if (curves.Length > 0)
                plots.Add(($"{KebabCase(spec.Quantity)}.svg", Draw(spec, curves), spec.Says));
        }
    }

    private static PlotModel Draw(PlotSpec spec, ReadingCurve[] curves)
    {
        var first = curves[0];
        // A part is left out rather than a picture drawn that nobody can tell apart: the quietest level stands for the rest.
        var drawn = curves.Length <= MostSeries ? curves : [.. curves.Where(c => c.Condition == first.Condition).Take(MostSeries)];
        var isLog = first.XUnit == "Hz" && first.X[0] > 0 && first.X[^1] / first.X[0] > NarrowestLogRatio;
        var x = isLog
            ? Axis.Frequency("frequency", spec.MinX, spec.MaxX)
            : Axis.Linear(QuantityWords.OfUnit(first.XUnit), first.XUnit, spec.MinX, spec.MaxX);
        var scale =
            spec.Scale == AxisScale.Logarithmic && drawn.All(c => c.Y.All(y => !(y <= 0))) ? AxisScale.Logarithmic : AxisScale.Linear;
        var y = new Axis(spec.Y, first.YUnit, scale) { Min = scale == AxisScale.Linear ? spec.MinY : null, Max = spec.MaxY };
        var plot = new PlotModel(spec.Title, x, y);
        var one = drawn.Length == 1;
        for (var i = 0; i < drawn.Length; i++)
        {
            var curve = drawn[i];
            if (one && curve.Uncertainty.Length == curve.X.Length)
                plot = plot.With(Band(curve));
            plot = plot.With(
                new LineSeries(one ? "" : Label(curve, drawn), curve.X, curve.Y)
                {
                    Ink = Inks[i % Inks.Length],
                    IsDashed = i >= Inks.Length,
                }
            );
        }
        return spec.Mark is { } mark ? plot.With(new LevelMark(mark.Y, mark.Words)) : plot;
    }

    private static BandSeries Band(ReadingCurve curve) =>
        new(
            "how sure",
            curve.X,
            [.. curve.Y.Zip(curve.Uncertainty).Select(p => p.First - p.Second)],
            [.. curve.Y.Zip(curve.Uncertainty).Select(p => p.First + p.Second)]
        )
        {
            Ink = InkRole.Wash,
        };

    private static string Label(ReadingCurve curve, ReadingCurve[] drawn)
    {
        var words = new List<string>();
        if (curve.Channel is { } channel && drawn.Select(c => c.Channel).Distinct().Count() > 1)
            words.Add($"channel {channel}");
        if (curve.Condition.Length > 0 && drawn.Select(c => c.Condition).Distinct().Count() > 1)
            words.Add(curve.Condition);
        return string.Join(", ", words);
    }

    private static string KebabCase(string name) =>
        string.Concat(name.Select((c, i) => char.IsUpper(c) ? (i > 0 ? "-" : "") + char.ToLowerInvariant(c) : c.ToString()));
}
