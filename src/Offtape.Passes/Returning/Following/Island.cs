using Offtape.Passes.Listening;

namespace Offtape.Passes.Following;

/// <summary>A stretch of the source that sounds, between rests that are too long to follow the tape through.</summary>
/// <param name="From">Tracker seconds of the source, a little before it sounds.</param>
/// <param name="To">A little after.</param>
internal readonly record struct Island(double From, double To)
{
    // A tape that drifts by a tenth of a percent is 6 ms away after this; the follower looks 20 ms about where it expects the sound.
    private const double RestSeconds = 6;
    private const double SoundingBelowPeakDb = 50;
    private const double MarginSeconds = 0.1;

    /// <summary>The islands of a stretch of the source, in order, at least one; the first begins and the last ends with the stretch.</summary>
    internal static IReadOnlyList<Island> Of(LevelCurve level, double from, double to)
    {
        var islands = new List<Island>();
        var (start, last) = (from, double.NaN);
        var end = Math.Min(level.Count, (int)Math.Ceiling(to / LevelCurve.StepSeconds));
        for (var i = Math.Max(0, (int)(from / LevelCurve.StepSeconds)); i < end; i++)
        {
            if (level[i] <= level.PeakDb - SoundingBelowPeakDb)
                continue;
            var seconds = i * LevelCurve.StepSeconds;
            if (seconds - last > RestSeconds)
            {
                islands.Add(new Island(start, last + LevelCurve.StepSeconds + MarginSeconds));
                start = seconds - MarginSeconds;
            }
            last = seconds;
        }
        islands.Add(new Island(start, to));
        return islands;
    }
}
