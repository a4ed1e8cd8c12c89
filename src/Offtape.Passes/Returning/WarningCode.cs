namespace Offtape.Passes;

/// <summary>The stable codes of what may be wrong with a take or a return.</summary>
public static class WarningCode
{
    public const string NotThroughTape = "not-through-tape";
    public const string DryLeak = "dry-leak";
    public const string AmbiguousPlace = "ambiguous-place";
    public const string TapeEnded = "tape-ended";
    public const string StopInTake = "stop-in-take";
    public const string RideKept = "ride-kept";
    public const string UnsureMap = "unsure-map";
    public const string SlateMissing = "slate-missing";
    public const string SampleRateMixup = "sample-rate-mixup";
    public const string Clipped = "clipped";
    public const string LevelControl = "level-control";
    public const string PolarityInverted = "polarity-inverted";
    public const string ChannelsSwapped = "channels-swapped";
    public const string OtherPass = "other-pass";
    public const string DamagedFile = "damaged-file";
    public const string StripeBleed = "stripe-bleed";
    public const string HeldPlaceLost = "held-place-lost";
    public const string ShortCapture = "short-capture";
}
