using Offtape.Passes.Following;

namespace Offtape.Passes.Finding;

/// <summary>When a followed take is believed.</summary>
internal static class TakeJudge
{
    /// <summary>Below this a take is not even a rival.</summary>
    internal const double LowestScore = 0.45;

    /// <summary>From this median of the hiss-corrected coherence on it is the same recording: near twins stay below.</summary>
    internal const double AcceptedMedian = 0.9;

    internal static bool IsAccepted(FollowedTake take) =>
        take.Evidence.BandCoherence.Length >= 3 && take.Evidence.Median >= AcceptedMedian && take.Evidence.LowerQuarter >= 0.75;
}
