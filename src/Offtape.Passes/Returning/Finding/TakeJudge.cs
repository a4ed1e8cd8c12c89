using Offtape.Passes.Following;

namespace Offtape.Passes.Finding;

/// <summary>When a followed take is believed.</summary>
internal static class TakeJudge
{
    /// <summary>Below this a take is not even a rival.</summary>
    internal const double LowestScore = 0.45;

    // The hiss-corrected coherence of a recording with itself through a worn deck has its median above 0.9 in all but a few of a
    // thousand; that of two hits of one drum stays below 0.86 in all but a few (perf/results/returns.md).
    private const double AcceptedMedian = 0.9;
    private const double AcceptedLowerQuarter = 0.8;

    // A sound that fills the whole range is noise for the most part, and noise never comes twice: its twins stay below 0.61 and 0.44, and
    // a bright one that drives the tape into saturation keeps 0.76 and 0.70.
    private const int WideBands = 16;
    private const double AcceptedMedianWide = 0.72;
    private const double AcceptedLowerQuarterWide = 0.62;

    // Between the best of twins and the worst of true returns coherence alone cannot tell: along the fine map, through the machine's own
    // response and curve, a true return leaves little of its good bands unexplained, or of the whole; the nearest of twins leave 0.046 and
    // 0.112 (perf/results/returns.md).
    private const double SureMedian = 0.95;
    private const double MostOfGoodBands = 0.035;
    private const double MostOfPower = 0.065;

    // Bells and shakers beat and rattle too finely for coherence along a path that is right to a fraction of a millisecond: from here on they are
    // looked at along their fine map, and believed where little of the whole is left.
    private const double UnsureMedian = 0.65;

    // At the place that slates point at, another sound is not to be feared; only nothing at all is.
    private const double AcceptedMedianAtSlate = 0.5;

    /// <summary>Good enough to be looked at, not so good that it could not be a near twin.</summary>
    internal static bool NeedsCloserLook(FollowedTake take) =>
        take.Evidence.BandCoherence.Length < WideBands && take.Evidence.Median is >= UnsureMedian and < SureMedian;

    internal static bool IsAccepted(FollowedTake take)
    {
        if (take.Remainder is { } left && left.OfGoodBands > MostOfGoodBands && left.OfPower > MostOfPower)
            return false;
        var evidence = take.Evidence;
        if (evidence.BandCoherence.Length < 2 || evidence.HeardShare < 0.3)
            return false;
        if (take.Remainder?.OfPower <= MostOfPower)
            return true;
        var isWide = evidence.BandCoherence.Length >= WideBands;
        return evidence.Median >= (isWide ? AcceptedMedianWide : AcceptedMedian)
            && evidence.LowerQuarter >= (isWide ? AcceptedLowerQuarterWide : AcceptedLowerQuarter);
    }

    internal static bool IsAcceptedAtSlate(FollowedTake take) =>
        take.Evidence.BandCoherence.Length >= 1 && take.Evidence.Median >= AcceptedMedianAtSlate && take.Evidence.HeardShare >= 0.15;

    /// <summary>The chance that the place is right, as measured over simulated returns by score.</summary>
    internal static double Confidence(FollowedTake take, bool isAtSlate)
    {
        var doubt = 1 - take.Evidence.Median;
        return isAtSlate ? Math.Clamp(0.999 - 0.1 * doubt, 0.5, 0.999) : Math.Clamp(0.997 - 0.3 * Math.Max(0, doubt - 0.02), 0.5, 0.997);
    }
}
