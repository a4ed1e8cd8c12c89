using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>
/// Off tape: how late the machine's return is, without the interface's own loop; with the speed known, how far its heads stand apart, and how late
/// it is at half and at twice the speed.
/// </summary>
internal static class DelayReadings
{
    // A slate is timed within this by its detector.
    private const double SlateSeconds = 0.0001;

    internal static Findings Of(BenchCapture capture, MachineFacts facts)
    {
        var delay = new Reading
        {
            Quantity = "sendToReturnDelay",
            Unit = "ms",
            Method = "From where the send began to where its slates are heard, without the interface's own loop; the mean over the slates",
        };
        var distance = new Reading
        {
            Quantity = "headDistance",
            Unit = "mm",
            Method = "Delay times the nominal tape speed, which may be 1.5 % off (DIN 45 500 sheet 4)",
        };
        if (WhyNot(capture, facts) is { } reason)
            return new Findings { Readings = [delay.Unknown(reason), distance.Unknown(reason)] };
        var (seconds, expanded) = Mean(capture, facts);
        var readings = new List<Reading> { delay with { Value = 1000 * seconds, Uncertainty = 1000 * expanded } };
        if (facts.SpeedCmPerSecond is not { } cmPerSecond)
            return new Findings { Readings = [.. readings, distance.Unknown("The tape speed is not known: name it")] };
        var speed = new TapeSpeed(cmPerSecond);
        var relative = Math.Sqrt(Math.Pow(expanded / seconds, 2) + NominalSpeed.ExpandedShare * NominalSpeed.ExpandedShare);
        var millimetres = HeadGap.DistanceMm(seconds, speed);
        readings.Add(distance with { Value = millimetres, Uncertainty = relative * millimetres });
        foreach (var other in (double[])[cmPerSecond / 2, cmPerSecond * 2])
        {
            var there = new TapeSpeed(other);
            var later = 1000 * HeadGap.DelaySeconds(millimetres, there);
            readings.Add(
                new Reading
                {
                    Quantity = "delayAtSpeed",
                    Condition = there.ToString(),
                    Unit = "ms",
                    Value = later,
                    Uncertainty = relative * later,
                    Method = "The delay at this speed times the ratio of the speeds",
                }
            );
        }
        return new Findings { Readings = readings };
    }

    private static string? WhyNot(BenchCapture capture, MachineFacts facts)
    {
        if (capture.How != HowTaken.OffTape)
            return "A tape that was rewound comes back when a hand starts it: the delay of the heads is heard off tape only";
        return facts.SendStartCaptureSeconds is null
            ? "When the send began is not known: the capture and the send have to be started as one"
            : null;
    }

    private static (double Seconds, double Expanded) Mean(BenchCapture capture, MachineFacts facts)
    {
        var sent = facts.SendStartCaptureSeconds!.Value - capture.StartInFileSeconds + facts.InterfaceDelaySeconds;
        double[] delays = [.. capture.Sheet.Slates.Select(s => capture.Clock.CaptureAt(s.StartSeconds) - s.StartSeconds - sent)];
        var (mean, expanded) = Repeats.Of(delays);
        return (mean, Math.Sqrt((double.IsNaN(expanded) ? 0 : expanded * expanded) + 4 * SlateSeconds * SlateSeconds));
    }
}
