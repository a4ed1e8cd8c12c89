using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>Where one sound goes.</summary>
/// <param name="Sound">Its name.</param>
/// <param name="TapeSeconds">How long it is on tape.</param>
/// <param name="Place">The free stretch it goes to; null where it fits nowhere.</param>
/// <param name="StartMetres">From the beginning of that side.</param>
public sealed record FittedSound(string Sound, double TapeSeconds, FreeStretch? Place, double? StartMetres)
{
    /// <summary>The tracks it goes to, as the format numbers them; empty: all of the side.</summary>
    public IReadOnlyList<int> Tracks { get; init; } = [];
}

/// <summary>Sounds on the shelf's free stretches.</summary>
/// <param name="Sounds">In the order they were asked for.</param>
/// <param name="IsProven">There is no better way.</param>
/// <param name="Free">The free stretches there were, with the sides divided into tracks as the answer has it.</param>
public sealed record ShelfFit(IReadOnlyList<FittedSound> Sounds, bool IsProven, IReadOnlyList<FreeStretch> Free)
{
    // Each way to divide the sides is a search of its own.
    private const int MostWays = 64;

    // With two tracks at most, a send puts a sound of one channel on all of them.
    private const int FewestTracks = 3;

    public bool IsComplete => Sounds.All(s => s.Place is not null);

    /// <param name="sounds">Names and lengths on tape, at the speed.</param>
    /// <param name="tapes">Where they may go.</param>
    /// <param name="speed">Of the pass.</param>
    /// <param name="margins">Clear at the ends of a side.</param>
    /// <param name="gapSeconds">Between two sounds, and between a sound and what stands beside it.</param>
    /// <param name="tracks">Tracks of the tape; empty: all of a side of two tracks at most, and as many tracks beside each other as a sound has channels of one of more.</param>
    public static ShelfFit Of(
        IReadOnlyList<PackedSound> sounds,
        IReadOnlyList<TapeEntry> tapes,
        TapeSpeed speed,
        SideMargins margins,
        double gapSeconds,
        IReadOnlyList<int> tracks
    )
    {
        var sides = tapes
            .SelectMany(t => t.Sides.Select(s => (Tape: t, Side: s)))
            .Where(s => tracks.Count == 0 || s.Side.TrackNumbers.Count == 0 || tracks.All(s.Side.TrackNumbers.Contains))
            .ToArray();
        int[] widths = [.. sounds.Select(s => s.ChannelCount).Append(1).Distinct().Order()];
        var ways = sides
            .Select(s =>
                tracks.Count == 0 && s.Side.TrackNumbers.Count >= FewestTracks
                    ? TrackLanes.Of(s.Side.TrackNumbers, widths)
                    :
                    [
                        [new TrackLane(tracks, null)],
                    ]
            )
            .ToArray();
        var choices = TrackLanes.Choices(ways, MostWays);
        (Packing Packing, FreeStretch[] Free, PackingPlace[] Places, double[] Score)? best = null;
        foreach (var choice in choices.Ways)
        {
            var (free, places) = Places([.. sides.Zip(choice, (s, lanes) => (s.Tape, s.Side, lanes))], speed, margins, gapSeconds);
            var packing = StretchPacking.Fit(sounds, places, gapSeconds, choices.Ways.Count);
            var score = StretchPacking.Score(sounds, places, gapSeconds, packing.PlaceOf, packing.TrackOf);
            var isProven = packing.IsProven && best?.Packing.IsProven is not false;
            if (StretchPacking.IsBetter(score, best?.Score))
                best = (packing with { IsProven = isProven }, free, places, score);
            else if (best is { } known)
                best = known with { Packing = known.Packing with { IsProven = isProven } };
        }
        return Fitted(sounds, best!.Value.Packing, best.Value.Free, best.Value.Places, choices.AreAll, speed, gapSeconds);
    }

    private static (FreeStretch[] Free, PackingPlace[] Places) Places(
        IReadOnlyList<(TapeEntry Tape, TapeSide Side, IReadOnlyList<TrackLane> Lanes)> sides,
        TapeSpeed speed,
        SideMargins margins,
        double gapSeconds
    )
    {
        var places = sides
            .SelectMany(s =>
                s.Lanes.SelectMany(lane =>
                    s.Side.Free(speed, margins, lane.Tracks)
                        .Select(f => Apart(f, s.Side, margins, speed, gapSeconds) with { Tape = s.Tape.Name, Tracks = lane.Tracks })
                        .Where(f => f.LengthMetres > 0)
                        .Select(f =>
                            (Free: f, Place: new PackingPlace($"{f.Tape} {f.Side}", f.Tape, f.Seconds(speed)) { TrackCount = lane.Count })
                        )
                )
            )
            .ToArray();
        return ([.. places.Select(p => p.Free)], [.. places.Select(p => p.Place)]);
    }

    private static ShelfFit Fitted(
        IReadOnlyList<PackedSound> sounds,
        Packing packing,
        FreeStretch[] free,
        PackingPlace[] places,
        bool areAllWays,
        TapeSpeed speed,
        double gapSeconds
    )
    {
        var times = places.Select((p, n) => LaneTimes.Of(sounds, p, n, packing.PlaceOf, packing.TrackOf, gapSeconds)).ToArray();
        var fitted = sounds.Select(
            (sound, i) =>
                packing.PlaceOf[i] is not { } p
                    ? new FittedSound(sound.Name, sound.Seconds, null, null)
                    : new FittedSound(sound.Name, sound.Seconds, free[p], free[p].FromMetres + times[p].Starts[i] * speed.MetresPerSecond)
                    {
                        Tracks = places[p].TrackCount is null
                            ? free[p].Tracks
                            : [.. free[p].Tracks.Skip(packing.TrackOf[i]).Take(sound.ChannelCount)],
                    }
        );
        return new ShelfFit([.. fitted], packing.IsProven && areAllWays, free);
    }

    // What is recorded beside a free stretch is not to be touched: no counter stops to the second.
    private static FreeStretch Apart(FreeStretch free, TapeSide side, SideMargins margins, TapeSpeed speed, double gapSeconds)
    {
        var (first, last) = margins.Between(side.LengthMetres!.Value, speed);
        var gap = gapSeconds * speed.MetresPerSecond;
        return free with
        {
            FromMetres = free.FromMetres > first ? free.FromMetres + gap : free.FromMetres,
            ToMetres = free.ToMetres < last ? free.ToMetres - gap : free.ToMetres,
        };
    }
}
