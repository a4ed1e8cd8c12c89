namespace Offtape.Passes.Slates;

/// <summary>One run of a pass heard in a capture: which slates of its sheet were heard, and when.</summary>
internal sealed class LocatedPass
{
    internal required PassSheet Sheet { get; init; }

    internal required int CaptureIndex { get; init; }

    internal required bool IsReversed { get; init; }

    /// <summary>Send and capture seconds of every slate unit heard, in order of the send.</summary>
    internal required (double SendSeconds, double CaptureSeconds)[] Anchors { get; init; }

    /// <summary>The slates of the sheet of which no unit was heard.</summary>
    internal required IReadOnlyList<SheetSlate> Missing { get; init; }

    /// <summary>Mean send seconds per capture second, positive.</summary>
    internal double SpeedRatio
    {
        get
        {
            var (first, last) = (Anchors[0], Anchors[^1]);
            return Math.Abs((last.SendSeconds - first.SendSeconds) / (last.CaptureSeconds - first.CaptureSeconds));
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

    /// <summary>Distance in send seconds to the nearest slate that was heard: how far the tape may have wandered from the straight line.</summary>
    internal double DistanceToAnchor(double sendSeconds) => Anchors.Min(a => Math.Abs(a.SendSeconds - sendSeconds));
}
