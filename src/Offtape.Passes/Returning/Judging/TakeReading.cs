using Offtape.Base;
using Offtape.Passes.Following;
using Offtape.Passes.Writing;

namespace Offtape.Passes.Judging;

/// <summary>Everything that is read off a take besides its channels.</summary>
internal sealed record TakeReading
{
    // Close enough that a straight line between two points is right to a microsecond for the wow of any machine worth its tape.
    private const double MapStepSeconds = 0.01;

    internal required double StartCaptureSeconds { get; init; }

    internal required double EndSourceSeconds { get; init; }

    internal required bool IsComplete { get; init; }

    /// <summary>The capture ended before the source did.</summary>
    internal required bool IsCaptureShort { get; init; }

    /// <summary>The sound stopped before the capture did.</summary>
    internal required bool HasTapeEnded { get; init; }

    internal required double SpeedRatio { get; init; }

    internal required double? GainDb { get; init; }

    internal required double? NoiseFloorDbfs { get; init; }

    internal required ReturnTimeMap TimeMap { get; init; }

    internal required double? WobblePeakCents { get; init; }

    /// <summary>Where it sounds and the tape can be followed least surely; null where it can be everywhere.</summary>
    internal UnsureStretch? Unsure { get; init; }

    internal required IReadOnlyList<ReturnDropout> Dropouts { get; init; }

    internal required bool NeverWentThroughTape { get; init; }

    internal required bool IsLevelControlled { get; init; }

    internal required int ClippedRuns { get; init; }

    internal (double LevelDb, double AheadSeconds)? Leak { get; set; }

    internal static TakeReading Of(TakePlan plan, CancellationToken cancellation)
    {
        var take = plan.Take;
        var (end, hasEnded) = HeardEnd(take);
        var isShort = take.LastHeard < take.SourceLength - 0.02;
        var never = TapeTest.NeverWentThrough(take, cancellation);
        var channel = take.CaptureChannel;
        var floor = TakeMeasures.NoiseFloorDbfs(take.Capture.Recording, channel, take.Capture.Noise[channel]);
        var gain = plan.Channels.Channels.Average(c => c.Gain);
        return new TakeReading
        {
            StartCaptureSeconds = CaptureAtSourceFile(take, 0),
            EndSourceSeconds = Math.Clamp(
                take.IsReversed ? plan.Source.LengthSeconds : take.ToSourceFileSeconds(end),
                0,
                plan.Source.LengthSeconds
            ),
            IsComplete = !isShort && !hasEnded && take.FirstHeard < 0.02,
            IsCaptureShort = isShort || take.FirstHeard >= 0.02,
            HasTapeEnded = hasEnded && !isShort,
            SpeedRatio = take.NominalSpeed * take.RelativeSpeed / plan.IntendedSpeed,
            GainDb = gain > 0 ? Conversions.AmplitudeToDb(gain) : null,
            NoiseFloorDbfs = floor,
            TimeMap = Map(take),
            WobblePeakCents = TakeMeasures.WobblePeakCents(take),
            Unsure = never ? null : UnsureStretch.Of(take),
            Dropouts = never ? [] : TakeMeasures.Dropouts(take, cancellation),
            NeverWentThroughTape = never,
            IsLevelControlled = LevelControlTest.IsLevelControlled(
                take,
                plan.Source.Levels[take.SourceChannel],
                take.Capture.Levels[channel],
                floor ?? -120
            ),
            ClippedRuns = ClipTest.Runs(take, [.. plan.Channels.Channels.Select(c => c.CaptureChannel).Distinct()], cancellation),
        };
    }

    private static double CaptureAtSourceFile(FollowedTake take, double sourceFileSeconds) =>
        take.Curve.CaptureAt(take.ToTrackerSeconds(sourceFileSeconds));

    /// <summary>Up to where the sound is heard: the last moment at which source and capture both sound; whether silence follows where it should not.</summary>
    private static (double End, bool HasEnded) HeardEnd(FollowedTake take)
    {
        if (take.IsReversed || take.NominalSpeed != 1)
            return (take.LastHeard, false);
        var (source, capture) = (take.Source.Levels[take.SourceChannel], take.Capture.Levels[take.CaptureChannel]);
        // Gain by the louder half of what both have.
        var gains = new List<double>();
        for (var s = take.FirstHeard; s < take.LastHeard; s += 0.05)
        {
            if (source.DbAt(s) > source.PeakDb - 25)
                gains.Add(capture.DbAt(take.Curve.CaptureAt(s)) - source.DbAt(s));
        }
        if (gains.Count == 0)
            return (take.LastHeard, false);
        gains.Sort();
        var gain = gains[gains.Count * 3 / 4];
        var lastSounding = take.LastHeard;
        while (lastSounding > take.FirstHeard && source.DbAt(lastSounding) < source.PeakDb - 25)
            lastSounding -= 0.02;
        var end = lastSounding;
        while (
            end > take.FirstHeard
            && (source.DbAt(end) < source.PeakDb - 30 || capture.DbAt(take.Curve.CaptureAt(end)) < source.DbAt(end) + gain - 15)
        )
            end -= 0.02;
        // Half a second of silence where there should be sound is an end, not a dropout.
        return lastSounding - end > 0.5 ? (end, true) : (take.LastHeard, false);
    }

    private static ReturnTimeMap Map(FollowedTake take)
    {
        var (a, b) = (take.ToSourceFileSeconds(take.FirstHeard), take.ToSourceFileSeconds(take.LastHeard));
        var (first, last) = (Math.Min(a, b), Math.Max(a, b));
        var count = Math.Max(2, (int)Math.Ceiling((last - first) / MapStepSeconds) + 1);
        var (source, capture, sigma) = (new double[count], new double[count], new double[count]);
        for (var i = 0; i < count; i++)
        {
            source[i] = i == count - 1 ? last : first + (last - first) * i / (count - 1);
            var tracker = take.ToTrackerSeconds(source[i]);
            capture[i] = take.Curve.CaptureAt(tracker);
            sigma[i] = take.Curve.SigmaAt(tracker) * 1e3;
        }
        return new ReturnTimeMap
        {
            SourceSeconds = source,
            CaptureSeconds = capture,
            SigmaMilliseconds = sigma,
        };
    }
}
