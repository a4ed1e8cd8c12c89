using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>One side of a tape: its length, its tracks, what has been recorded on it.</summary>
/// <param name="Name">A, B, 1.</param>
/// <param name="LengthMetres">Nominal; null where it is not known.</param>
public sealed record TapeSide(string Name, double? LengthMetres)
{
    /// <summary>The tracks of this side, as the format numbers them; empty where the format is not known.</summary>
    public IReadOnlyList<int> TrackNumbers { get; init; } = [];

    /// <summary>Every recording there has been, in any order.</summary>
    public IReadOnlyList<UsedStretch> Stretches { get; init; } = [];

    /// <summary>Recordings whose place is not known.</summary>
    public IReadOnlyList<UsedStretch> Unplaced { get; init; } = [];

    /// <summary>Playing time at a speed, from end to end; null where the length is not known.</summary>
    public double? PlayingSeconds(TapeSpeed speed) => LengthMetres is { } metres ? metres * 100 / speed.CmPerSecond : null;

    /// <summary>
    /// Stretches without a recording on any of the tracks, between the margins, the first first. Everything is free to be recorded over; this is
    /// what need not be.
    /// </summary>
    /// <param name="speed">Of the pass that is to go there.</param>
    /// <param name="margins">What stays clear at both ends.</param>
    /// <param name="tracks">Tracks of the tape; empty for all of the side.</param>
    public IReadOnlyList<FreeStretch> Free(TapeSpeed speed, SideMargins margins, IReadOnlyList<int>? tracks = null)
    {
        if (LengthMetres is not { } length)
            return [];
        var wanted = tracks is { Count: > 0 } ? tracks : TrackNumbers;
        var (from, to) = margins.Between(length, speed);
        var free = new List<FreeStretch>();
        foreach (
            var used in Stretches.Where(s => wanted.Count == 0 || s.Tracks.Count == 0 || wanted.Any(s.Touches)).OrderBy(s => s.FromMetres)
        )
        {
            Add(from, Math.Min(used.FromMetres, to));
            from = Math.Max(from, used.ToMetres);
        }
        Add(from, to);
        return free;

        void Add(double start, double end)
        {
            if (end - start > 1e-9)
                free.Add(new FreeStretch(Name, start, end));
        }
    }

    /// <summary>
    /// What is free on each track, where it is not the same on all: tracks that have the same are told together. One entry, for all of the side,
    /// where nothing stands on some tracks only.
    /// </summary>
    /// <inheritdoc cref="Free"/>
    public IReadOnlyList<FreeTracks> FreeByTrack(TapeSpeed speed, SideMargins margins) =>
        TrackNumbers.Count < 2 || Stretches.All(s => s.Tracks.Count == 0)
            ? [new FreeTracks([], Free(speed, margins))]
            :
            [
                .. TrackNumbers
                    .Select(t => (Track: t, Free: Free(speed, margins, [t])))
                    .GroupBy(t => string.Join(' ', t.Free.Select(f => $"{f.FromMetres:R}-{f.ToMetres:R}")))
                    .Select(g => new FreeTracks([.. g.Select(t => t.Track)], g.First().Free)),
            ];

    /// <summary>How often each part of a track has been recorded, gapless from the first recording to the last; parts that never were are left out.</summary>
    /// <param name="track">From 1.</param>
    public IReadOnlyList<StretchUse> Uses(int track)
    {
        var all = Stretches.OrderBy(s => s.At, StringComparer.Ordinal).ToArray();
        int[] here = [.. Enumerable.Range(0, all.Length).Where(i => all[i].Touches(track))];
        UsedStretch[] stretches = [.. here.Select(i => all[i])];
        // What a line counts on its own: it says how often in all, and those before it say how often until then, on whichever of its tracks.
        int[] own = [.. here.Select(i => Math.Max(1, all[i].Times - MostBefore(all, i)))];
        double[] edges = [.. stretches.SelectMany(s => new[] { s.FromMetres, s.ToMetres }).Distinct().Order()];
        var uses = new List<StretchUse>();
        for (var e = 0; e + 1 < edges.Length; e++)
        {
            var middle = (edges[e] + edges[e + 1]) / 2;
            var over = Enumerable
                .Range(0, stretches.Length)
                .Where(i => stretches[i].FromMetres < middle && stretches[i].ToMetres > middle)
                .ToArray();
            if (over.Length == 0)
                continue;
            var use = new StretchUse(edges[e], edges[e + 1], over.Sum(i => own[i]), stretches[over[^1]]);
            if (uses.Count > 0 && uses[^1] is var last && last.ToMetres == use.FromMetres && last.Times == use.Times && last.Now == use.Now)
                uses[^1] = last with { ToMetres = use.ToMetres };
            else
                uses.Add(use);
        }
        return uses;
    }

    private static int MostBefore(UsedStretch[] stretches, int index) =>
        stretches[..index]
            .Where(s =>
                s.FromMetres < stretches[index].ToMetres
                && s.ToMetres > stretches[index].FromMetres
                && TrackList.Meet(s.Tracks, stretches[index].Tracks)
            )
            .Select(s => s.Times)
            .DefaultIfEmpty(0)
            .Max();
}

/// <summary>What stays clear at the ends of a side, in seconds at the speed of the pass: leader and first turns, and time to stop.</summary>
public sealed record SideMargins(double StartSeconds = SideMargins.UsualSeconds, double EndSeconds = SideMargins.UsualSeconds)
{
    /// <summary>What a send keeps clear before and behind it as well.</summary>
    public const double UsualSeconds = 5;

    /// <summary>In metres; the end is not before the start.</summary>
    public (double From, double To) Between(double lengthMetres, TapeSpeed speed)
    {
        var from = StartSeconds * speed.MetresPerSecond;
        return (from, Math.Max(from, lengthMetres - EndSeconds * speed.MetresPerSecond));
    }
}

/// <summary>A stretch that nothing stands on.</summary>
public sealed record FreeStretch(string Side, double FromMetres, double ToMetres)
{
    /// <summary>The tape it is of; empty where there is one only.</summary>
    public string Tape { get; init; } = "";

    /// <summary>The tracks it is free on, as the format numbers them; empty: all of the side.</summary>
    public IReadOnlyList<int> Tracks { get; init; } = [];

    public double LengthMetres => ToMetres - FromMetres;

    public double Seconds(TapeSpeed speed) => LengthMetres / speed.MetresPerSecond;
}

/// <summary>What is free on some tracks of a side.</summary>
/// <param name="Tracks">As the format numbers them; empty: all of the side.</param>
/// <param name="Free">The same on each of them.</param>
public sealed record FreeTracks(IReadOnlyList<int> Tracks, IReadOnlyList<FreeStretch> Free);

/// <summary>A part of a track, how often it has been recorded, and what stands there now: the latest.</summary>
public sealed record StretchUse(double FromMetres, double ToMetres, int Times, UsedStretch Now)
{
    /// <summary>The tracks of the side for which this holds; empty for all of them.</summary>
    public IReadOnlyList<int> Tracks { get; init; } = [];
}
