using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>Where one sound goes.</summary>
/// <param name="Sound">Its name.</param>
/// <param name="TapeSeconds">How long it is on tape.</param>
/// <param name="Place">The free stretch it goes to; null where it fits nowhere.</param>
/// <param name="StartMetres">From the beginning of that side.</param>
public sealed record FittedSound(string Sound, double TapeSeconds, FreeStretch? Place, double? StartMetres);

/// <summary>Sounds on the shelf's free stretches.</summary>
/// <param name="Sounds">In the order they were asked for.</param>
/// <param name="IsProven">There is no better way.</param>
/// <param name="Free">The free stretches there were.</param>
public sealed record ShelfFit(IReadOnlyList<FittedSound> Sounds, bool IsProven, IReadOnlyList<FreeStretch> Free)
{
    public bool IsComplete => Sounds.All(s => s.Place is not null);

    /// <param name="sounds">Names and lengths on tape, at the speed.</param>
    /// <param name="tapes">Where they may go.</param>
    /// <param name="speed">Of the pass.</param>
    /// <param name="margins">Clear at the ends of a side.</param>
    /// <param name="gapSeconds">Between two sounds, and between a sound and what stands beside it.</param>
    /// <param name="tracks">Tracks of the tape; empty for all of a side.</param>
    public static ShelfFit Of(
        IReadOnlyList<PackedSound> sounds,
        IReadOnlyList<TapeEntry> tapes,
        TapeSpeed speed,
        SideMargins margins,
        double gapSeconds,
        IReadOnlyList<int> tracks
    )
    {
        FreeStretch[] free =
        [
            .. tapes.SelectMany(t =>
                t.Sides.Where(s => tracks.Count == 0 || s.TrackNumbers.Count == 0 || tracks.All(s.TrackNumbers.Contains))
                    .SelectMany(s =>
                        s.Free(speed, margins, tracks).Select(f => Apart(f, s, margins, speed, gapSeconds) with { Tape = t.Name })
                    )
            ),
        ];
        free = [.. free.Where(f => f.LengthMetres > 0)];
        var places = free.Select(f => new PackingPlace($"{f.Tape} {f.Side}", f.Tape, f.Seconds(speed))).ToArray();
        var packing = StretchPacking.Fit(sounds, places, gapSeconds);
        var at = free.Select(f => f.FromMetres).ToArray();
        var fitted = new List<FittedSound>();
        for (var i = 0; i < sounds.Count; i++)
        {
            if (packing.PlaceOf[i] is not { } place)
            {
                fitted.Add(new FittedSound(sounds[i].Name, sounds[i].Seconds, null, null));
                continue;
            }
            fitted.Add(new FittedSound(sounds[i].Name, sounds[i].Seconds, free[place], at[place]));
            at[place] += (sounds[i].Seconds + gapSeconds) * speed.MetresPerSecond;
        }
        return new ShelfFit(fitted, packing.IsProven, free);
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
