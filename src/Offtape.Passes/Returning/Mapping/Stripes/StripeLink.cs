using Offtape.Passes.Following;

namespace Offtape.Passes.Mapping;

/// <summary>The stripe of a take's run.</summary>
/// <param name="Stripe">Followed.</param>
/// <param name="Item">The take's entry in the sheet.</param>
/// <param name="Curve">Its map in the take's tracker time.</param>
internal sealed record StripeGuide(StripeMap Stripe, SheetItem Item, PathCurve Curve);

/// <summary>How a take lies against the stripe of its run.</summary>
internal sealed record StripeLink
{
    internal required StripeMap Stripe { get; init; }

    internal required SheetItem Item { get; init; }

    /// <summary>The slow difference between the two tracks; null where the take's sound was too faint to say.</summary>
    internal TrackDrift? Drift { get; init; }

    /// <summary>How much later the take's track is than the stripe's, on average; null where its sound was too faint to say.</summary>
    internal double? DelaySeconds => Drift?.MeanSeconds;

    /// <summary>RMS of the slow movement about that; null with it.</summary>
    internal double? WanderSeconds => Drift?.RmsSeconds;

    /// <summary>How well that movement is known, one sigma, RMS over the take; null with it.</summary>
    internal double? WanderSigmaSeconds => Drift?.SigmaSeconds;

    /// <summary>The stripe's tracker seconds at tracker seconds of the take.</summary>
    internal double StripeSeconds(FollowedTake take, double takeSeconds) =>
        Stripe.TrackerSeconds(Stripe.SendSeconds(Item, take.ToSourceFileSeconds(takeSeconds)));

    /// <summary>The take's tracker seconds at tracker seconds of the stripe.</summary>
    internal double TakeSeconds(FollowedTake take, double stripeSeconds) =>
        take.ToTrackerSeconds(Stripe.FileSeconds(Item, Stripe.SendSeconds(stripeSeconds)));
}
