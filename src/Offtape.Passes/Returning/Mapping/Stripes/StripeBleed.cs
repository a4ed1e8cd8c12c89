using Offtape.Passes.Following;

namespace Offtape.Passes.Mapping;

/// <summary>What of the stripe is heard on a channel beside its own over one take, and how much of it stays when it is subtracted.</summary>
internal sealed record StripeBleed
{
    /// <summary>Of the capture, from 0.</summary>
    internal required int CaptureChannel { get; init; }

    /// <summary>The stripe.</summary>
    internal required FollowedTake Stripe { get; init; }

    /// <summary>The stripe's tracker seconds at a capture second, as it is heard on this channel.</summary>
    internal required PathCurve StripeAtCapture { get; init; }

    /// <summary>Null where nothing can be told from noise, and nothing is subtracted.</summary>
    internal required BleedResponse? Response { get; init; }

    /// <summary>RMS of what is heard, dBFS of the capture; null with the response.</summary>
    internal required double? Dbfs { get; init; }

    /// <summary>RMS of what is left of it once it is subtracted, as far as can be known.</summary>
    internal required double LeftDbfs { get; init; }

    /// <summary>RMS of the channel where the take sounds.</summary>
    internal required double ProgrammeDbfs { get; init; }
}
