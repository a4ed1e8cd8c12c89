using Offtape.Bench;
using Offtape.Signal;
using Offtape.Tape;

namespace Offtape.Perf.Bench;

/// <summary>
/// What is true of speed, wow and flutter over the very stretch that was measured: the speed that the true time maps say, read out as the
/// standard reads a curve, in the band that the reading states.
/// </summary>
internal static class SpeedTruths
{
    internal static IEnumerable<Truth> Of(BenchTrial trial)
    {
        if (trial.Capture.Of(BenchPartKind.SpeedTone).FirstOrDefault() is not { } part)
            return [];
        if (SpeedReader.Measure(trial.Capture, part) is not { } m)
            return [];
        // Seconds of the capture that was cut against those of the whole simulated return.
        var maps = part.Channels.Where(c => c <= trial.Return.TruthPerChannel.Length).Select(c => trial.Return.TruthPerChannel[c - 1]);
        return Of(
            m,
            trial.How,
            trial.Options.ClockErrorPpm,
            [.. maps],
            trial.Capture.StartInFileSeconds,
            new WobbleComb(trial.Model.Transport.HeadDistanceMm / 10 / trial.Model.SpeedCmPerSecond)
        );
    }

    internal static IReadOnlyList<Truth> Of(
        ToneMeasurement m,
        HowTaken how,
        double clockPpm,
        TimeMap[] maps,
        double startSeconds,
        WobbleComb comb
    )
    {
        // A clock that runs fast makes the capture's seconds short: the maps are in those.
        var curve = Curve(m, maps, startSeconds);
        var mean = ((1 + MeanPercent(m, maps, startSeconds) / 100) * (1 + clockPpm * 1e-6) - 1) * 100;
        var figures = WobbleReadout.Read(curve, m.Curve.RateHz, m.Curve.IsGap).ToArray();
        string[] names = ["weightedTwoSigma", "weightedPeak", "weightedRms", "unweightedPeak", "unweightedRms"];
        var isOffTape = how == HowTaken.OffTape;
        var truths = new List<Truth>
        {
            new("meanFrequency", null, "", how == HowTaken.ForeignTape ? 3150 * (1 + mean / 100) : null),
            new("speedError", null, "", how == HowTaken.ForeignTape ? mean : null),
            new("drift", null, "", isOffTape ? null : StraightLine.Through(curve).Rise),
        };
        if (how != HowTaken.ForeignTape)
            truths.Add(new("speedDifference", null, "", isOffTape ? null : mean));
        for (var k = 0; k < names.Length; k++)
        {
            truths.Add(new(names[k], null, "", isOffTape ? null : figures[k]));
            if (isOffTape)
                truths.Add(new(names[k], null, "as heard off tape", figures[k]));
        }
        var spectrum = WobbleSpectrum.Of(curve, m.Curve.RateHz);
        foreach (var heard in SpeedReadings.Told(m, SpeedReader.MostLineReadings))
        {
            var undo = isOffTape ? comb.Undo(heard.Line.FrequencyHz) : 1;
            var peak = PeakAt(spectrum, heard.Line.FrequencyHz) * undo;
            truths.Add(
                new("speedLine", null, $"{SpeedReadings.Frequency(heard.Line.FrequencyHz)} Hz", double.IsFinite(peak) ? peak : null)
            );
        }
        return truths;
    }

    /// <summary>True speed against its mean in per cent, at the moments of the measured curve and in its band; the mean of all channels.</summary>
    internal static double[] Curve(ToneMeasurement m, TimeMap[] maps, double startSeconds)
    {
        var band = new ToneBand(48_000, m.Tone.FrequencyHz);
        var lost = band.After.Length / 2;
        var steps = new double[m.DeviationPercent.Length + 2 * lost];
        foreach (var map in maps)
        {
            var before = double.NaN;
            for (var i = 0; i <= steps.Length; i++)
            {
                var now = SmoothMap.SourceAt(map, startSeconds + m.StartSeconds + (i - lost - 0.5) / m.Curve.RateHz);
                if (i > 0)
                    steps[i - 1] += Math.Abs(now - before) * m.Curve.RateHz / maps.Length;
                before = now;
            }
        }
        var smooth = ToneSmoother.OfSteps(steps, band);
        var mean = smooth.Average();
        return Array.ConvertAll(smooth, s => (s / mean - 1) * 100);
    }

    private static double MeanPercent(ToneMeasurement m, TimeMap[] maps, double startSeconds)
    {
        var from = startSeconds + m.MeanFromSeconds - 0.5 / m.Curve.RateHz;
        var speed = maps.Average(map =>
            Math.Abs(SmoothMap.SourceAt(map, from + m.MeanSeconds) - SmoothMap.SourceAt(map, from)) / m.MeanSeconds
        );
        return (speed - 1) * 100;
    }

    private static double PeakAt(WobbleSpectrum spectrum, double hz)
    {
        var lines = SpeedLineFinder.Find(spectrum, 250, 64);
        var near = lines.Where(l => Math.Abs(l.FrequencyHz - hz) < spectrum.LobeHz).ToArray();
        return near.Length == 0 ? double.NaN : near.MinBy(l => Math.Abs(l.FrequencyHz - hz)).PeakPercent;
    }
}
