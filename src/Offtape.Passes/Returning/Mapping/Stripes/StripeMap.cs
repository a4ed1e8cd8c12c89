using Offtape.Passes.Following;
using Offtape.Passes.Slates;

namespace Offtape.Passes.Mapping;

/// <summary>The stripe of one run, followed: send seconds to capture seconds on the channel that carries it.</summary>
internal sealed class StripeMap
{
    private const double KnotSeconds = 0.0025;
    private const double ToldSeconds = 0.025;

    internal required LocatedPass Run { get; init; }

    internal required SheetStripe Sheet { get; init; }

    /// <summary>The stripe as a source, along its fine map.</summary>
    internal required FollowedTake Take { get; init; }

    /// <summary>The capture's channel that carries it, from 0.</summary>
    internal int Channel => Take.CaptureChannel;

    /// <summary>When a send second is heard on the stripe's channel.</summary>
    internal double CaptureAt(double sendSeconds) => Take.Curve.CaptureAt(TrackerSeconds(sendSeconds));

    internal double SigmaAt(double sendSeconds) => Take.Curve.SigmaAt(TrackerSeconds(sendSeconds));

    /// <summary>The stripe's map in the tracker time of a take of this run.</summary>
    /// <param name="take">The take.</param>
    /// <param name="item">Its entry in the sheet.</param>
    internal PathCurve For(FollowedTake take, SheetItem item)
    {
        var count = Math.Max(2, (int)Math.Ceiling((take.LastHeard - take.FirstHeard) / KnotSeconds) + 1);
        var (source, capture, sigma) = (new double[count], new double[count], new double[count]);
        for (var i = 0; i < count; i++)
        {
            source[i] = i == count - 1 ? take.LastHeard : take.FirstHeard + i * KnotSeconds;
            var send = SendSeconds(item, take.ToSourceFileSeconds(source[i]));
            (capture[i], sigma[i]) = (CaptureAt(send), SigmaAt(send));
        }
        return PathCurve.Of(source, capture, sigma);
    }

    /// <summary>For return.json.</summary>
    internal ReturnStripe Told()
    {
        var (a, b) = (SendSeconds(Take.FirstHeard), SendSeconds(Take.LastHeard));
        var (first, last) = (Math.Min(a, b), Math.Max(a, b));
        var count = Math.Max(2, (int)Math.Ceiling((last - first) / ToldSeconds) + 1);
        var send = new double[count];
        for (var i = 0; i < count; i++)
            send[i] = i == count - 1 ? last : first + i * ToldSeconds;
        return new ReturnStripe
        {
            CaptureChannel = Channel,
            SendSeconds = send,
            CaptureSeconds = [.. send.Select(CaptureAt)],
            SigmaMilliseconds = [.. send.Select(s => SigmaAt(s) * 1e3)],
        };
    }

    /// <summary>Where in the send a moment of a source file stands.</summary>
    internal double SendSeconds(SheetItem item, double fileSeconds) =>
        item.StartSeconds + (Run.Sheet.Reversed ? LastFrame(item) - fileSeconds : fileSeconds) * Run.Sheet.PrintRatio;

    /// <summary>Which moment of a source file stands at a second of the send.</summary>
    internal double FileSeconds(SheetItem item, double sendSeconds)
    {
        var seconds = (sendSeconds - item.StartSeconds) / Run.Sheet.PrintRatio;
        return Run.Sheet.Reversed ? LastFrame(item) - seconds : seconds;
    }

    private static double LastFrame(SheetItem item) => (double)(item.FrameCount - 1) / item.SampleRateHz;

    internal double SendSeconds(double trackerSeconds) => Sheet.StartSeconds + Take.ToSourceFileSeconds(trackerSeconds);

    internal double TrackerSeconds(double sendSeconds) => Take.ToTrackerSeconds(sendSeconds - Sheet.StartSeconds);
}
