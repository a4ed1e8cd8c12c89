namespace Offtape.Studio;

/// <summary>A sound that wants a place: its name, and how long it is on tape.</summary>
public sealed record PackedSound(string Name, double Seconds)
{
    /// <summary>Tracks it needs, where a side is divided into tracks.</summary>
    public int ChannelCount { get; init; } = 1;
}

/// <summary>A place that is free, in seconds.</summary>
/// <param name="Name">Tape and side, for the answer.</param>
/// <param name="Tape">Which tape it is of: fewer tapes are better.</param>
/// <param name="Seconds">How much fits, margins already taken off.</param>
public sealed record PackingPlace(string Name, string Tape, double Seconds)
{
    /// <summary>Tracks beside each other of which a sound takes as many as it has channels; null: every sound takes all there are.</summary>
    public int? TrackCount { get; init; }

    internal int Lanes => TrackCount ?? 1;

    internal int LanesOf(PackedSound sound) => TrackCount is null ? 1 : sound.ChannelCount;
}

/// <summary>Which sound goes where.</summary>
/// <param name="PlaceOf">For each sound the place, from 0; null where it goes nowhere.</param>
/// <param name="IsProven">No better way exists; else the search was cut short, and this is the best it met.</param>
public sealed record Packing(IReadOnlyList<int?> PlaceOf, bool IsProven)
{
    /// <summary>For each sound the first of the place's tracks that it goes to, from 0.</summary>
    public IReadOnlyList<int> TrackOf { get; init; } = [];

    public int PlacedCount => PlaceOf.Count(p => p is not null);
}

/// <summary>
/// Where do these sounds fit? Packs sounds into free stretches with a gap between them. Better is, in this order: more sounds placed, more seconds
/// placed, fewer tapes, fewer stretches, and the least left over in the stretches that are used (so that long free ones stay whole).
/// Branch and bound over all ways; equal to exhaustive search where <see cref="Packing.IsProven"/>.
/// </summary>
public static class StretchPacking
{
    // Some seconds of work at most; a dozen sounds on eight stretches take far fewer.
    private const long MostSteps = 20_000_000;

    /// <param name="sounds">What wants a place.</param>
    /// <param name="places">What is free.</param>
    /// <param name="gapSeconds">Between two sounds of one place.</param>
    /// <param name="shares">Of how many searches this is one: together they take no longer.</param>
    public static Packing Fit(IReadOnlyList<PackedSound> sounds, IReadOnlyList<PackingPlace> places, double gapSeconds, int shares = 1)
    {
        var search = new Search(sounds, places, gapSeconds, MostSteps / shares);
        search.Try(0);
        return new Packing(search.Best, !search.IsCutShort) { TrackOf = search.BestTracks };
    }

    /// <summary>How good a way is: larger is better, number by number.</summary>
    internal static double[] Score(
        IReadOnlyList<PackedSound> sounds,
        IReadOnlyList<PackingPlace> places,
        double gapSeconds,
        IReadOnlyList<int?> placeOf,
        IReadOnlyList<int> trackOf
    )
    {
        var used = placeOf.OfType<int>().Distinct().ToArray();
        var left = used.Select(p => places[p].Seconds - LaneTimes.Of(sounds, places[p], p, placeOf, trackOf, gapSeconds).End)
            .DefaultIfEmpty(0)
            .Sum();
        return
        [
            placeOf.Count(p => p is not null),
            sounds.Where((_, i) => placeOf[i] is not null).Sum(s => s.Seconds),
            -used.Select(p => places[p].Tape).Distinct().Count(),
            -used.Length,
            -left,
        ];
    }

    internal static bool IsBetter(double[] one, double[]? other)
    {
        if (other is null)
            return true;
        for (var i = 0; i < one.Length; i++)
        {
            // Sums in another order differ in their last bits.
            if (Math.Abs(one[i] - other[i]) > 1e-6)
                return one[i] > other[i];
        }
        return false;
    }

    private sealed class Search
    {
        private readonly IReadOnlyList<PackedSound> _sounds;
        private readonly IReadOnlyList<PackingPlace> _places;
        private readonly double _gap;
        private readonly long _mostSteps;
        private readonly int[] _order;
        private readonly double[] _taken;
        private readonly int[] _count;
        private readonly int?[] _placeOf;
        private readonly int[] _trackOf;
        private readonly double[] _restSeconds;
        private double[]? _bestScore;
        private long _steps;

        internal Search(IReadOnlyList<PackedSound> sounds, IReadOnlyList<PackingPlace> places, double gap, long mostSteps)
        {
            (_sounds, _places, _gap, _mostSteps) = (sounds, places, gap, mostSteps);
            // The longest first: what cannot be placed is known early.
            _order = [.. Enumerable.Range(0, sounds.Count).OrderByDescending(i => sounds[i].Seconds)];
            _taken = new double[places.Count];
            _count = new int[places.Count];
            _placeOf = new int?[sounds.Count];
            _trackOf = new int[sounds.Count];
            _restSeconds = new double[sounds.Count + 1];
            for (var k = sounds.Count - 1; k >= 0; k--)
                _restSeconds[k] = _restSeconds[k + 1] + sounds[_order[k]].Seconds;
        }

        internal IReadOnlyList<int?> Best { get; private set; } = [];

        internal IReadOnlyList<int> BestTracks { get; private set; } = [];

        internal bool IsCutShort => _steps > _mostSteps;

        internal void Try(int k)
        {
            if (_steps++ > _mostSteps)
                return;
            if (k == _order.Length)
            {
                var score = Score(_sounds, _places, _gap, _placeOf, _trackOf);
                if (!IsBetter(score, _bestScore))
                    return;
                (_bestScore, Best, BestTracks) = (score, [.. _placeOf], [.. _trackOf]);
                return;
            }
            if (!CanStillWin(k))
                return;
            var i = _order[k];
            var tried = new HashSet<(double, int?, string)>();
            // The fullest that takes it first: a good way is met early, and bounds the rest.
            foreach (var p in Enumerable.Range(0, _places.Count).OrderBy(p => _count[p] == 0).ThenBy(p => _places[p].Seconds - _taken[p]))
            {
                var place = _places[p];
                // Two empty stretches of one length and as many tracks on one tape are one choice.
                if (_count[p] == 0 && !tried.Add((place.Seconds, place.TrackCount, place.Tape)))
                    continue;
                for (var track = 0; track + place.LanesOf(_sounds[i]) <= place.Lanes; track++)
                {
                    var before = _taken[p];
                    (_placeOf[i], _trackOf[i]) = (p, track);
                    var end = End(place, p, i, before);
                    if (end <= place.Seconds + 1e-9)
                    {
                        (_taken[p], _count[p]) = (end, _count[p] + 1);
                        Try(k + 1);
                        (_taken[p], _count[p]) = (before, _count[p] - 1);
                    }
                    (_placeOf[i], _trackOf[i]) = (null, 0);
                    // On an empty stretch one track is as good as another.
                    if (_count[p] == 0)
                        break;
                }
            }
            Try(k + 1);
        }

        private double End(PackingPlace place, int p, int sound, double before) =>
            place.Lanes == 1
                ? before + _sounds[sound].Seconds + (_count[p] > 0 ? _gap : 0)
                : LaneTimes.Of(_sounds, place, p, _placeOf, _trackOf, _gap).End;

        // If all that is left were placed, on no further tape or stretch, without anything left over.
        private bool CanStillWin(int k)
        {
            if (_bestScore is null)
                return true;
            var placed = _placeOf.Count(p => p is not null);
            var seconds = _sounds.Where((_, i) => _placeOf[i] is not null).Sum(s => s.Seconds);
            var used = Enumerable.Range(0, _places.Count).Where(p => _count[p] > 0).ToArray();
            double[] bound =
            [
                placed + _order.Length - k,
                seconds + _restSeconds[k],
                -used.Select(p => _places[p].Tape).Distinct().Count(),
                -used.Length,
                0,
            ];
            return IsBetter(bound, _bestScore);
        }
    }
}
