namespace Offtape.Tape;

/// <summary>One unit of a slate as it was heard in a capture.</summary>
/// <param name="FallInstantSeconds">When the falling chirp's zero-period instant is heard, in seconds of the capture.</param>
/// <param name="RiseInstantSeconds">The same of the rising chirp. Earlier than the other one when heard backwards.</param>
/// <param name="IsReversed">True: heard backwards.</param>
/// <param name="Strength">The weaker of the two chirps' normalised correlations, 0 to 1.</param>
/// <param name="Code">What it says; null where the code could not be read.</param>
/// <param name="UnitIndex">0, or 1 for the second unit of a head or tail slate.</param>
public sealed record DetectedSlate(
    double FallInstantSeconds,
    double RiseInstantSeconds,
    bool IsReversed,
    double Strength,
    SlateCode? Code,
    int UnitIndex
)
{
    /// <summary>Send seconds per capture second over this unit, always positive: above 1 it is heard faster than it was sent.</summary>
    public double SpeedRatio => SlateLayout.ZeroDistanceSeconds / Math.Abs(RiseInstantSeconds - FallInstantSeconds);

    /// <summary>When the first frame of the slate is heard (of the whole slate, also when this is its second unit), by this unit's own speed.</summary>
    public double SlateStartSeconds => CaptureAt(-SlateLayout.UnitStartSeconds(UnitIndex));

    /// <summary>When the middle between this unit's two instants is heard: the instant that a change of speed moves least.</summary>
    public double CentreSeconds => 0.5 * (FallInstantSeconds + RiseInstantSeconds);

    /// <summary>Where that middle stands in the slate, in send seconds from the slate's first frame.</summary>
    public double CentreInSlateSeconds =>
        SlateLayout.UnitStartSeconds(UnitIndex) + 0.5 * (SlateLayout.FallZeroSeconds + SlateLayout.RiseZeroSeconds);

    private double CaptureAt(double unitSeconds) =>
        FallInstantSeconds
        + (unitSeconds - SlateLayout.FallZeroSeconds) * (RiseInstantSeconds - FallInstantSeconds) / SlateLayout.ZeroDistanceSeconds;
}
