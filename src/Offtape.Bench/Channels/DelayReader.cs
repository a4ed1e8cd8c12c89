using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>How late each channel is against the one before it, from the sweeps that both carry; how that wanders, and what angle it stands for.</summary>
internal static class DelayReader
{
    private const double FromHz = 150;
    private const double ToHz = 18_000;

    // A window counts where the phase is known to a radian.
    private const double MostVariance = 1;

    // One delay explains what two channels of one machine have in common; two rooms or two tapes do not get here.
    private const double LeastAgreement = 0.5;

    internal static Findings Read(BenchCapture capture, MachineFacts facts, CancellationToken cancellation)
    {
        var sweeps = capture.Of(BenchPartKind.Sweep).Where(p => p.Channels.Count > 1).ToArray();
        var frames = sweeps.Select(s => SweepFrames.Of(capture, s, FromHz, ToHz)).ToArray();
        var tone = capture.Of(BenchPartKind.SpeedTone).MaxBy(p => p.LengthSeconds);
        var findings = Findings.None;
        for (var second = 1; second < capture.ChannelCount; second++)
        {
            cancellation.ThrowIfCancellationRequested();
            var wander = tone is null ? null : DelayWander.Of(capture, second - 1, second, tone);
            findings += Wander(capture, second, wander) + Delay(capture, facts, second, frames, wander);
        }
        return findings;
    }

    private static Findings Delay(
        BenchCapture capture,
        MachineFacts facts,
        int second,
        IReadOnlyList<SweepFrame>[] frames,
        DelayWander? wander
    )
    {
        var reading = new Reading
        {
            Quantity = "interChannelDelay",
            Condition = Pairs.Condition(capture, second, ""),
            Unit = "µs",
            Method = "One delay through the phases between the channels over the sweeps that both carry; above 0 the second is late",
            Standard = "",
        };
        var points = Points(frames, second);
        var fit = DelayFit.Of(points, wander?.RmsSeconds ?? 0);
        if (fit is null || fit.Agreement < LeastAgreement)
        {
            var unknown = reading.Unknown(
                frames.Length == 0
                    ? $"No sweep of both channels was heard: {capture.WhyNot("sweep-minus20-both")}"
                    : "The channels do not carry the same sound, or noise hides it"
            );
            return new Findings { Readings = [unknown, Polarity(capture, second, null), Azimuth.Of(capture, facts, second, unknown)] };
        }
        var wanderSeconds = wander?.RmsSeconds ?? Excess(points, fit);
        var stated = reading with
        {
            Value = 1e6 * fit.DelaySeconds,
            Uncertainty = 2e6 * Math.Sqrt(VarianceOfMean(points, wanderSeconds, wander?.CorrelationSeconds, capture)),
        };
        return new Findings
        {
            Readings = [stated, Polarity(capture, second, fit), Azimuth.Of(capture, facts, second, stated)],
            Curves = [Curve(reading, points, fit, wanderSeconds)],
        };
    }

    private static List<DelayPoint> Points(IReadOnlyList<SweepFrame>[] frames, int second)
    {
        var points = new List<DelayPoint>();
        for (var run = 0; run < frames.Length; run++)
        {
            foreach (var frame in frames[run])
            {
                var variance = frame.PhaseVariance(second - 1, second);
                if (variance < MostVariance)
                    points.Add(
                        new DelayPoint(
                            (frame.CentroidHz[second - 1] + frame.CentroidHz[second]) / 2,
                            frame.Ratio(second, second - 1),
                            variance,
                            run
                        )
                    );
            }
        }
        return points;
    }

    /// <summary>Noise of all windows, and the wander that so many seconds of them do not average out.</summary>
    private static double VarianceOfMean(List<DelayPoint> points, double wanderSeconds, double? correlationSeconds, BenchCapture capture)
    {
        var (sum, squares, noise) = (0.0, 0.0, 0.0);
        foreach (var point in points)
        {
            var weight = 1 / DelayFit.Variance(point, wanderSeconds);
            sum += weight;
            squares += weight * weight;
            noise += weight * weight * DelayFit.Variance(point, 0);
        }
        var windowSeconds = SweepFrames.HopFrames(capture.SampleRateHz) / (double)capture.SampleRateHz;
        var seconds = windowSeconds * sum * sum / squares;
        return SweepFrame.SharedByNeighbours * noise / (sum * sum)
            + wanderSeconds
                * wanderSeconds
                * (correlationSeconds is { } correlation ? Math.Min(1, correlation / seconds) : OneForEachSweep(points));
    }

    // Without a steady tone nothing tells how slowly it wanders: each sweep then says one thing, and of few things the spread is hardly known.
    private static double OneForEachSweep(List<DelayPoint> points)
    {
        var sweeps = points.Select(p => p.Run).Distinct().Count();
        return sweeps < 2 ? 1 : Math.Pow(Repeats.StudentT(sweeps - 1) / 2, 2) / sweeps;
    }

    // Without a steady tone: how much more the windows scatter than their noise.
    private static double Excess(List<DelayPoint> points, DelayFit fit)
    {
        var (sum, weight) = (0.0, 0.0);
        foreach (var point in points)
        {
            var variance = DelayFit.Variance(point, 0);
            sum += (Math.Pow(fit.DelayAt(point) - fit.DelaySeconds, 2) - variance) / variance;
            weight += 1 / variance;
        }
        return Math.Sqrt(Math.Max(0, sum / weight));
    }

    private static ReadingCurve Curve(Reading reading, List<DelayPoint> points, DelayFit fit, double wanderSeconds)
    {
        var bands = points
            .GroupBy(p => ThirdOctaves.BandOf(p.FrequencyHz))
            .OrderBy(g => g.Key)
            .Select(g =>
            {
                var weights = g.Sum(p => 1 / DelayFit.Variance(p, 0));
                var runs = g.Select(p => p.Run).Distinct().Count();
                return (
                    Hz: ThirdOctaves.MidHz(g.Key),
                    Delay: g.Sum(p => fit.DelayAt(p) / DelayFit.Variance(p, 0)) / weights,
                    Variance: SweepFrame.SharedByNeighbours / weights + wanderSeconds * wanderSeconds / runs
                );
            })
            .ToArray();
        return new ReadingCurve
        {
            Quantity = reading.Quantity,
            Condition = reading.Condition,
            XUnit = "Hz",
            YUnit = "µs",
            X = [.. bands.Select(b => b.Hz)],
            Y = [.. bands.Select(b => 1e6 * b.Delay)],
            Uncertainty = [.. bands.Select(b => 2e6 * Math.Sqrt(b.Variance))],
            Method = "Delay between the channels in third octaves; a slope says that their responses turn the phase differently",
        };
    }

    private static Reading Polarity(BenchCapture capture, int second, DelayFit? fit)
    {
        var reading = new Reading
        {
            Quantity = "relativePolarity",
            Condition = Pairs.Condition(capture, second, ""),
            Unit = "",
            Method = "1 where both channels go the same way, −1 where one is upside down; by the phases that one delay leaves",
        };
        return fit is null
            ? reading.Unknown("The channels do not carry the same sound, or noise hides it")
            : reading with
            {
                Value = fit.Polarity,
                Uncertainty = 0,
            };
    }

    private static Findings Wander(BenchCapture capture, int second, DelayWander? wander)
    {
        var reading = new Reading
        {
            Quantity = "interChannelDelayWander",
            Condition = Pairs.Condition(capture, second, ""),
            Unit = "µs",
            Method = "Root mean square of the delay about its mean over the 3150 Hz tone, slower than about 10 Hz, without what noise adds",
        };
        return new Findings
        {
            Readings =
            [
                wander is null ? reading.Unknown($"It is read from a steady tone in both channels: {capture.WhyNot("speed-3150")}")
                : wander.RmsSeconds > 0 && wander.ExpandedSeconds < wander.RmsSeconds / 2
                    ? reading with
                    {
                        Value = 1e6 * wander.RmsSeconds,
                        Uncertainty = 1e6 * wander.ExpandedSeconds,
                    }
                : reading.Hidden(1e6 * wander.LimitSeconds, "Noise hides it"),
            ],
        };
    }
}
