namespace Offtape.Passes.Slates;

/// <summary>One run of a pass heard in a capture: which slates of its sheet were heard, and when.</summary>
internal sealed class LocatedPass
{
    // More than wow and drift make of it between two slates.
    private const double SteadyShare = 0.02;

    internal required PassSheet Sheet { get; init; }

    internal required int CaptureIndex { get; init; }

    internal required bool IsReversed { get; init; }

    /// <summary>Send and capture seconds of every slate unit heard, in order of the send.</summary>
    internal required (double SendSeconds, double CaptureSeconds)[] Anchors { get; init; }

    /// <summary>The slates of the sheet of which no unit was heard.</summary>
    internal required IReadOnlyList<SheetSlate> Missing { get; init; }

    /// <summary>Send seconds per capture second of each unit by itself, by send second.</summary>
    internal required IReadOnlyList<(double SendSeconds, double SpeedRatio)> UnitSpeeds { get; init; }

    /// <summary>Send seconds per capture second, positive: from first to last slate, or, where the tape stood between them, by the slates themselves.</summary>
    internal double SpeedRatio
    {
        get
        {
            var (first, last) = (Anchors[0], Anchors[^1]);
            var mean = Math.Abs((last.SendSeconds - first.SendSeconds) / (last.CaptureSeconds - first.CaptureSeconds));
            var speeds = UnitSpeeds.Select(u => u.SpeedRatio).Order().ToArray();
            var median = speeds[speeds.Length / 2];
            return Math.Abs(mean / median - 1) > SteadyShare ? median : mean;
        }
    }

    internal double SignedRate => IsReversed ? -1 / SpeedRatio : 1 / SpeedRatio;

    /// <summary>When a send second is heard: between the slates on either side, beyond them at the mean speed.</summary>
    internal double CaptureAt(double sendSeconds)
    {
        if (sendSeconds <= Anchors[0].SendSeconds)
            return Anchors[0].CaptureSeconds + (sendSeconds - Anchors[0].SendSeconds) * SignedRate;
        for (var i = 1; i < Anchors.Length; i++)
        {
            var (a, b) = (Anchors[i - 1], Anchors[i]);
            if (sendSeconds <= b.SendSeconds)
                return a.CaptureSeconds
                    + (sendSeconds - a.SendSeconds) * (b.CaptureSeconds - a.CaptureSeconds) / (b.SendSeconds - a.SendSeconds);
        }
        return Anchors[^1].CaptureSeconds + (sendSeconds - Anchors[^1].SendSeconds) * SignedRate;
    }

    /// <summary>Send seconds per capture second about a moment, by the nearest slate: between slates the tape may have stood, or been ridden.</summary>
    internal double SpeedNear(double sendSeconds) => UnitSpeeds.MinBy(u => Math.Abs(u.SendSeconds - sendSeconds)).SpeedRatio;

    /// <summary>When a send second is heard by the nearest slate alone, whatever the tape did farther away.</summary>
    internal double CaptureNear(double sendSeconds)
    {
        var anchor = Anchors.MinBy(a => Math.Abs(a.SendSeconds - sendSeconds));
        return anchor.CaptureSeconds + (IsReversed ? -1 : 1) * (sendSeconds - anchor.SendSeconds) / SpeedNear(sendSeconds);
    }

    /// <summary>Distance in send seconds to the nearest slate that was heard: how far the tape may have wandered from the straight line.</summary>
    internal double DistanceToAnchor(double sendSeconds) => Anchors.Min(a => Math.Abs(a.SendSeconds - sendSeconds));
}
