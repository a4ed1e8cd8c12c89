using Offtape.Passes.Finding;
using Offtape.Passes.Mapping;

namespace Offtape.Passes.Following;

/// <summary>A source followed through a capture: the path, and how sure it is that it is this source.</summary>
internal sealed record FollowedTake
{
    internal required SourceSound Source { get; init; }

    internal required CaptureSound Capture { get; init; }

    /// <summary>The channels by which the path was found.</summary>
    internal required int SourceChannel { get; init; }

    internal required int CaptureChannel { get; init; }

    internal required int Polarity { get; init; }

    /// <summary>Source seconds per capture second that the tracker took for granted; the curve's own speed is near 1.</summary>
    internal required double NominalSpeed { get; init; }

    internal required bool IsReversed { get; init; }

    /// <summary>In seconds of the tracker.</summary>
    internal required PathCurve Curve { get; init; }

    /// <summary>The speed of the tape over the take against the nominal one: mean slope of the curve between the heard ends.</summary>
    internal double RelativeSpeed => (LastHeard - FirstHeard) / Math.Max(Curve.CaptureAt(LastHeard) - Curve.CaptureAt(FirstHeard), 1e-9);

    internal required TakeEvidence Evidence { get; init; }

    /// <summary>How much of the capture the source does not explain along the fine map; null where that was not looked at.</summary>
    internal Remainder? Remainder { get; init; }

    internal required double LostShare { get; init; }

    internal required double MeanStrength { get; init; }

    /// <summary>Stops of the tape in the middle of it.</summary>
    internal IReadOnlyList<TapeStand> Stands { get; init; } = [];

    /// <summary>First and last source time (tracker seconds) that the capture can hold.</summary>
    internal required double FirstHeard { get; init; }

    internal required double LastHeard { get; init; }

    /// <summary>What the stripe of its run did for it; null without one.</summary>
    internal StripeLink? Stripe { get; init; }

    internal double SourceLength => Source.LengthSeconds / NominalSpeed;

    /// <summary>Where the source's first frame (in the order it is heard) lies in the capture, seconds.</summary>
    internal double StartCaptureSeconds => Curve.CaptureAt(0);

    internal double EndCaptureSeconds => Curve.CaptureAt(SourceLength);

    /// <summary>Seconds of the source file for a tracker time.</summary>
    internal double ToSourceFileSeconds(double trackerSeconds)
    {
        var seconds = trackerSeconds * NominalSpeed;
        return IsReversed ? (double)(Source.Recording.FrameCount - 1) / Source.Recording.Format.SampleRateHz - seconds : seconds;
    }

    /// <summary>Tracker time for seconds of the source file.</summary>
    internal double ToTrackerSeconds(double sourceFileSeconds) =>
        (
            IsReversed
                ? (double)(Source.Recording.FrameCount - 1) / Source.Recording.Format.SampleRateHz - sourceFileSeconds
                : sourceFileSeconds
        ) / NominalSpeed;
}
