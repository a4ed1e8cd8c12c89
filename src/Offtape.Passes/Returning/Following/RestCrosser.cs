using Offtape.Passes.Finding;
using Offtape.Passes.Listening;

namespace Offtape.Passes.Following;

/// <summary>
/// Tracks island by island: through a rest of many seconds the tape drifts farther than the tracker looks, so that each island is recognised anew
/// about where the last one and the mean speed have it.
/// </summary>
/// <param name="level">Of the source.</param>
/// <param name="track">Tracks one island from an anchor.</param>
/// <param name="recognise">Where a stretch of the source (its start and length) is heard, about a guess, within a reach; strength 0 where it is not.</param>
internal sealed class RestCrosser(
    LevelCurve level,
    Func<PathAnchor, Island, PathSettings, TrackedPath> track,
    Func<double, double, double, double, Place> recognise
)
{
    // A worn tape's drift over a rest (common practice, no source: up to 0.2 %).
    private const double RestReach = 5e-3;
    private const double RestDrift = 2e-3;

    /// <summary>Over all islands, from the one that holds the anchor to both sides.</summary>
    /// <param name="islands">In order, one at least.</param>
    /// <param name="anchor">Where it begins.</param>
    /// <param name="settings">What is expected of the tape.</param>
    internal TrackedPath Cross(IReadOnlyList<Island> islands, PathAnchor anchor, PathSettings settings)
    {
        if (islands.Count == 1)
            return track(anchor, islands[0], settings);
        var home = 0;
        while (home < islands.Count - 1 && islands[home + 1].From <= anchor.SourceSeconds)
            home++;
        var paths = new TrackedPath?[islands.Count];
        paths[home] = track(anchor, islands[home], settings);
        for (var i = home + 1; i < islands.Count; i++)
            paths[i] = Next(islands[i], paths[i - 1], true, anchor.Speed, settings);
        for (var i = home - 1; i >= 0; i--)
            paths[i] = Next(islands[i], paths[i + 1], false, anchor.Speed, settings);
        return TrackedPath.OverRests([.. paths.OfType<TrackedPath>().Where(p => p.CaptureSeconds.Length > 0)], anchor.Speed);
    }

    private TrackedPath? Next(Island island, TrackedPath? known, bool isAfter, double speed, PathSettings settings)
    {
        if (known is null || known.CaptureSeconds.Length == 0)
            return null;
        var end = isAfter ? known.CaptureSeconds.Length - 1 : 0;
        var stretch = StretchChoice.LengthIn(island.To - island.From);
        var start = StretchChoice.Liveliest(level, island.From, island.To, stretch);
        var away = start - known.SourceSeconds[end];
        var guess = known.CaptureSeconds[end] + away / speed;
        var reach = RestReach + RestDrift * Math.Abs(away);
        var place = recognise(start, stretch, guess, reach);
        return place.Strength > 0
            ? track(new PathAnchor(start, place.CaptureSeconds, speed), island, settings)
            : track(new PathAnchor(start, guess, speed, reach / 3), island, settings with { StartSigmaSeconds = reach / 3 });
    }
}
