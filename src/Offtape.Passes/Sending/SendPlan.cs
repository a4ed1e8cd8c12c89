using Offtape.Base;

namespace Offtape.Passes;

/// <summary>One source's place in the send.</summary>
/// <param name="Source">The file, measured.</param>
/// <param name="Stretch">Its frames in the send.</param>
/// <param name="Tracks">From 1.</param>
/// <param name="GainDb">As applied and as written in the sheet: the same number.</param>
/// <param name="StepFrames">Source frames per send frame; 1 where nothing is retimed.</param>
internal sealed record PlannedItem(SourceFile Source, Stretch Stretch, int[] Tracks, double GainDb, double StepFrames);

/// <summary>Everything that a send is made from.</summary>
internal sealed record SendPlan
{
    internal required SendRequest Request { get; init; }
    internal required string PassId { get; init; }
    internal required int SampleRateHz { get; init; }
    internal required int ChannelCount { get; init; }
    internal required IReadOnlyList<PlannedItem> Items { get; init; }
    internal required TimePlan Time { get; init; }

    /// <summary>Every track that carries anything, in order.</summary>
    internal int[] UsedTracks => [.. Items.SelectMany(i => i.Tracks).Append(Request.StripeTrack ?? 0).Where(t => t > 0).Distinct().Order()];

    /// <summary>Every track that carries a source, in order.</summary>
    internal int[] SoundTracks => [.. Items.SelectMany(i => i.Tracks).Distinct().Order()];

    /// <summary>Gains: one for all, from the loudest source, or one each.</summary>
    internal static double GainDb(SourceFile source, double loudestPeakLinear, SendRequest request)
    {
        var peakDbfs = Conversions.AmplitudeToDb(request.LevelEach ? source.PeakLinear : loudestPeakLinear);
        // A millionth of a decibel is far below any reading, and keeps the sheet legible; downwards, so that 0 dBFS is not passed.
        return Math.Floor((request.LevelDbfs - peakDbfs) * 1e6) / 1e6;
    }

    /// <summary>Source frames per send frame.</summary>
    internal static double StepFrames(int sourceRateHz, int sampleRateHz, double printRatio) => sourceRateHz / (sampleRateHz * printRatio);

    /// <summary>Frames of the send that hold the whole source.</summary>
    internal static long SendFrames(long sourceFrameCount, double stepFrames)
    {
        var frames = sourceFrameCount / stepFrames;
        // A quotient that is whole but for rounding is whole.
        var nearest = Math.Round(frames);
        return (long)(Math.Abs(frames - nearest) <= nearest * 1e-12 ? nearest : Math.Ceiling(frames));
    }
}
