namespace Offtape.Studio;

/// <summary>A sound that wants a place: its name, and how long it is on tape.</summary>
public sealed record PackedSound(string Name, double Seconds);

/// <summary>A place that is free, in seconds.</summary>
/// <param name="Name">Tape and side, for the answer.</param>
/// <param name="Tape">Which tape it is of: fewer tapes are better.</param>
/// <param name="Seconds">How much fits, margins already taken off.</param>
public sealed record PackingPlace(string Name, string Tape, double Seconds);

/// <summary>Which sound goes where.</summary>
/// <param name="PlaceOf">For each sound the place, from 0; null where it goes nowhere.</param>
/// <param name="IsProven">No better way exists; else the search was cut short, and this is the best it met.</param>
public sealed record Packing(IReadOnlyList<int?> PlaceOf, bool IsProven)
{
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

    public static Packing Fit(IReadOnlyList<PackedSound> sounds, IReadOnlyList<PackingPlace> places, double gapSeconds)
    {
        var search = new Search(sounds, places, gapSeconds);
        search.Try(0);
        return new Packing(search.Best, !search.IsCutShort);
    }

    /// <summary>How good a way is: larger is better, number by number.</summary>
    internal static double[] Score(
        IReadOnlyList<PackedSound> sounds,
        IReadOnlyList<PackingPlace> places,
        double gapSeconds,
        IReadOnlyList<int?> placeOf
    )
    {
        var used = placeOf.OfType<int>().Distinct().ToArray();
        var left = used.Select(p => places[p].Seconds - Taken(sounds, placeOf, p, gapSeconds)).DefaultIfEmpty(0).Sum();
        return
        [
            placeOf.Count(p => p is not null),
            sounds.Where((_, i) => placeOf[i] is not null).Sum(s => s.Seconds),
            -used.Select(p => places[p].Tape).Distinct().Count(),
            -used.Length,
            -left,
        ];
    }

    internal static double Taken(IReadOnlyList<PackedSound> sounds, IReadOnlyList<int?> placeOf, int place, double gapSeconds)
    {
        var own = sounds.Where((_, i) => placeOf[i] == place).ToArray();
        return own.Sum(s => s.Seconds) + gapSeconds * Math.Max(0, own.Length - 1);
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
        private readonly int[] _order;
        private readonly double[] _room;
        private readonly int[] _count;
        private readonly int?[] _placeOf;
        private readonly double[] _restSeconds;
        private double[]? _bestScore;
        private long _steps;

        internal Search(IReadOnlyList<PackedSound> sounds, IReadOnlyList<PackingPlace> places, double gap)
        {
            (_sounds, _places, _gap) = (sounds, places, gap);
            // The longest first: what cannot be placed is known early.
            _order = [.. Enumerable.Range(0, sounds.Count).OrderByDescending(i => sounds[i].Seconds)];
            _room = [.. places.Select(p => p.Seconds)];
            _count = new int[places.Count];
            _placeOf = new int?[sounds.Count];
            _restSeconds = new double[sounds.Count + 1];
            for (var k = sounds.Count - 1; k >= 0; k--)
                _restSeconds[k] = _restSeconds[k + 1] + sounds[_order[k]].Seconds;
        }

        internal IReadOnlyList<int?> Best { get; private set; } = [];

        internal bool IsCutShort => _steps > MostSteps;

        internal void Try(int k)
        {
            if (_steps++ > MostSteps)
                return;
            if (k == _order.Length)
            {
                var score = Score(_sounds, _places, _gap, _placeOf);
                if (!IsBetter(score, _bestScore))
                    return;
                (_bestScore, Best) = (score, [.. _placeOf]);
                return;
            }
            if (!CanStillWin(k))
                return;
            var i = _order[k];
            var tried = new HashSet<(double, int, string)>();
            // The fullest that takes it first: a good way is met early, and bounds the rest.
            foreach (var p in Enumerable.Range(0, _places.Count).OrderBy(p => _count[p] == 0).ThenBy(p => _room[p]))
            {
                var need = _sounds[i].Seconds + (_count[p] > 0 ? _gap : 0);
                // Two empty stretches of one length on one tape are one choice.
                if (need > _room[p] + 1e-9 || (_count[p] == 0 && !tried.Add((_room[p], _count[p], _places[p].Tape))))
                    continue;
                (_room[p], _count[p], _placeOf[i]) = (_room[p] - need, _count[p] + 1, p);
                Try(k + 1);
                (_room[p], _count[p], _placeOf[i]) = (_room[p] + need, _count[p] - 1, null);
            }
            Try(k + 1);
        }

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
