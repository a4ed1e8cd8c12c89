using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>
/// The angle between two heads that a delay between channels stands for. A head that replays what it recorded itself has no angle against
/// itself: there is nothing to read, and the delay has other causes.
/// </summary>
internal static class Azimuth
{
    internal static Reading Of(BenchCapture capture, MachineFacts facts, int second, Reading delay)
    {
        var reading = new Reading
        {
            Quantity = "azimuth",
            Condition = delay.Condition,
            Unit = "′",
            Method = $"Delay between the channels times tape speed over the distance of their tracks; {Between(capture.How)}",
            Standard = "J. McKnight, Azimuth in a Magnetic Tape Recorder",
        };
        if (WhyNot(capture, facts, second) is { } reason)
            return reading.Unknown(reason);
        if (delay.Value is not { } microseconds)
            return reading.Unknown(delay.Reason ?? "");
        var tracks = facts.Format!.SideA.ToArray();
        var spacingMm = facts.Format.SpacingMm(tracks[second - 1].Number, tracks[second].Number);
        var speed = new TapeSpeed(facts.SpeedCmPerSecond!.Value);
        return reading with
        {
            Value = Minutes(microseconds),
            Uncertainty = delay.Uncertainty is { } expanded
                ? double.Hypot(Minutes(expanded), NominalSpeed.ExpandedShare * Minutes(microseconds))
                : null,
        };

        double Minutes(double delayMicroseconds) =>
            Conversions.RadiansToArcMinutes(ReplayLosses.AzimuthRadians(spacingMm, delayMicroseconds * 1e-6, speed));
    }

    private static string? WhyNot(BenchCapture capture, MachineFacts facts, int second)
    {
        if (capture.How == HowTaken.Rewound && facts.HeadDistanceMm is null)
            return "A head that replays its own recording stands straight to itself: replay a tape that another machine recorded. "
                + "Where the machine has a replay head of its own, give the distance of its heads";
        if (facts.SpeedCmPerSecond is null)
            return "The tape speed is not known: name it";
        if (facts.Format is null)
            return "How the tracks lie on the tape is not known: name the format";
        return facts.Format.SideA.Count() <= second ? $"A {facts.Format.Name} has no track for this channel" : null;
    }

    private static string Between(HowTaken how) =>
        how == HowTaken.ForeignTape
            ? "this replay head against the head that recorded the tape"
            : "the record head against the replay head";
}
