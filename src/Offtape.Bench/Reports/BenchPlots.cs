using Offtape.Report;

namespace Offtape.Bench;

/// <summary>The plots of a report, made from its curves alone.</summary>
public static class BenchPlots
{
    private const double NarrowestLogRatio = 4;
    private const int MostSeries = 6;

    private static readonly InkRole[] Inks = [InkRole.Accent, InkRole.Ink, InkRole.Warn, InkRole.Soft];

    // In the order of the page. What is too fine, too plain or too much for a picture stands in bench.json only.
    private static readonly PlotSpec[] Pictures =
    [
        new(
            "response",
            "Response",
            "level against 1 kHz",
            "How evenly each channel reproduces, at −20 dB.",
            new PlotPick("response", "−20 dB")
        )
        {
            MinX = 20,
            MaxX = 20_000,
            MinY = -15,
            MaxY = 6,
            Mark = (-3, "−3 dB"),
        },
        new(
            "response-level",
            "Treble at other levels",
            "level against 1 kHz",
            "The louder the treble, the sooner the tape is full of it. First channel.",
            new PlotPick("response", null, 1)
        )
        {
            MinX = 20,
            MaxX = 20_000,
            MinY = -15,
            MaxY = 6,
            FewestCurves = 2,
        },
        new("speed", "Speed", "speed against its mean", "The tape's speed over the long tone.", new PlotPick("speed")),
        new(
            "speed-spectrum",
            "What the speed moves by",
            "peak",
            "Lines stand where something turns; the floor is what moves at random.",
            new PlotPick("speedSpectrum", null, null, "as it is"),
            new PlotPick("speedSpectrumWeighted", null, null, "weighted")
        )
        {
            MinX = 0.2,
            MaxX = 200,
            Marks = SpeedMarks.Of,
        },
        new(
            "distortion",
            "Distortion against level",
            "third harmonic",
            "Where it passes 3 % a tape is called full (MOL).",
            new PlotPick("thirdHarmonic")
        )
        {
            Scale = AxisScale.Logarithmic,
            Mark = (3, "3 %"),
        },
        new(
            "harmonics",
            "Harmonics at 315 Hz",
            "against the fundamental",
            "Odd ones come from the tape being full, even ones from a magnetised head or a wrong bias. First channel.",
            new PlotPick("secondHarmonic", "315 Hz", 1, "second"),
            new PlotPick("thirdHarmonic", "315 Hz", 1, "third"),
            new PlotPick("fourthHarmonic", "315 Hz", 1, "fourth"),
            new PlotPick("fifthHarmonic", "315 Hz", 1, "fifth")
        )
        {
            Scale = AxisScale.Logarithmic,
        },
        new(
            "output-level",
            "Output against input",
            "level that comes out",
            "Straight until the tape is full; treble bends first. First channel.",
            new PlotPick("outputLevel", null, 1)
        ),
        new(
            "distortion-frequency",
            "Distortion against frequency",
            "third harmonic",
            "From the sweeps. First channel.",
            new PlotPick("thirdHarmonicSweep", null, 1)
        )
        {
            MinX = 20,
            MaxX = 20_000,
            Scale = AxisScale.Logarithmic,
        },
        new(
            "noise-spectrum",
            "Noise",
            "level of each third of an octave",
            "What is heard when nothing is played.",
            new PlotPick("noiseSpectrum")
        )
        {
            MinX = 20,
            MaxX = 20_000,
        },
        new(
            "channel-delay",
            "Delay between the channels",
            "how late the second is",
            "A level line is azimuth; what bends away from it is phase of heads and electronics.",
            new PlotPick("interChannelDelay")
        ),
        new(
            "crosstalk",
            "Crosstalk",
            "level in the silent channel",
            "How much of one channel is heard in the other.",
            new PlotPick("crosstalk")
        )
        {
            MinX = 20,
            MaxX = 20_000,
        },
    ];

    /// <summary>File name, plot and the sentence under it, in the order of the page; only of what the report has.</summary>
    public static IReadOnlyList<(string Name, PlotModel Plot, string Says)> Of(BenchReport report) =>
        [
            .. Pictures
                .Select(spec => (Spec: spec, Curves: Taken(spec, report)))
                .Where(p => p.Curves.Length >= p.Spec.FewestCurves)
                .Select(p => ($"{p.Spec.Name}.svg", Draw(p.Spec, p.Curves, report.Readings), p.Spec.Says)),
        ];

    private static (PlotPick Pick, ReadingCurve Curve)[] Taken(PlotSpec spec, BenchReport report) =>
        [
            .. spec
                .Picks.SelectMany(pick => report.Curves.Where(pick.Takes).Select(curve => (pick, curve)))
                .Where(c => c.curve.X.Length > 1 && c.curve.Y.Count(double.IsFinite) > 1)
                .Take(MostSeries),
        ];

    private static PlotModel Draw(PlotSpec spec, (PlotPick Pick, ReadingCurve Curve)[] drawn, IReadOnlyList<Reading> readings)
    {
        var first = drawn[0].Curve;
        var isLog = first.XUnit == "Hz" && first.X[0] > 0 && first.X[^1] / first.X[0] > NarrowestLogRatio;
        var x = isLog
            ? Axis.Frequency("frequency", spec.MinX, spec.MaxX)
            : Axis.Linear(QuantityWords.OfUnit(first.XUnit), first.XUnit, spec.MinX, spec.MaxX);
        var scale = drawn.All(c => c.Curve.Y.All(y => !(y <= 0))) ? spec.Scale : AxisScale.Linear;
        var plot = new PlotModel(spec.Title, x, new Axis(spec.Y, first.YUnit, scale) { Min = spec.MinY, Max = spec.MaxY });
        for (var i = 0; i < drawn.Length; i++)
        {
            var curve = drawn[i].Curve;
            var label = drawn.Length == 1 ? "" : Label(drawn[i].Pick, curve, drawn);
            plot = plot.With(new LineSeries(label, curve.X, curve.Y) { Ink = Inks[i % Inks.Length], IsDashed = i >= Inks.Length });
        }
        if (spec.Marks is { } marks)
            plot = plot.With([.. marks(readings)]);
        return spec.Mark is { } mark ? plot.With(new LevelMark(mark.Y, mark.Words)) : plot;
    }

    // Only what tells it apart from the others.
    private static string Label(PlotPick pick, ReadingCurve curve, (PlotPick Pick, ReadingCurve Curve)[] drawn)
    {
        var words = new List<string>();
        if (pick.Label.Length > 0)
            words.Add(pick.Label);
        if (curve.Channel is { } channel && drawn.Select(c => c.Curve.Channel).Distinct().Count() > 1)
            words.Add($"channel {channel}");
        if (curve.Condition.Length > 0 && drawn.Select(c => c.Curve.Condition).Distinct().Count() > 1)
            words.Add(curve.Condition);
        return string.Join(", ", words);
    }
}
