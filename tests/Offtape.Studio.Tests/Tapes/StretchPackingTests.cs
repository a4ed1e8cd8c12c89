using Offtape.Testing;

namespace Offtape.Studio.Tests;

/// <summary>Packing against exhaustive search: every sound on every place or on none.</summary>
public sealed class StretchPackingTests
{
    private const double Gap = 3;

    [Fact]
    public void A_packing_is_as_good_as_the_best_of_all_ways_in_300_random_cases()
    {
        var random = new Random(17);
        for (var run = 0; run < 300; run++)
        {
            var sounds = Enumerable.Range(0, random.Next(7)).Select(i => new PackedSound($"{i}", 5 + random.Next(60))).ToArray();
            var places = Enumerable
                .Range(0, random.Next(5))
                // Few lengths, so that ties and exact fits happen.
                .Select(i => new PackingPlace($"{i}", $"tape {random.Next(2)}", 20 + 10 * random.Next(10)))
                .ToArray();
            var packing = StretchPacking.Fit(sounds, places, Gap);
            Assert.True(packing.IsProven);
            for (var p = 0; p < places.Length; p++)
                Measured.AtMost(
                    places[p].Seconds + 1e-9,
                    LaneTimes.Of(sounds, places[p], p, packing.PlaceOf, packing.TrackOf, Gap).End,
                    "seconds on a place"
                );
            var best = All(sounds, places).MaxBy(w => w, Comparer<double[]>.Create(Compare))!;
            Assert.Equal(0, Compare(best, Value(sounds, places, packing.PlaceOf)));
        }
    }

    // Written anew, so that the search is not measured by its own yardstick.
    private static double[] Value(PackedSound[] sounds, PackingPlace[] places, IReadOnlyList<int?> placeOf)
    {
        var (count, seconds, left) = (0, 0.0, 0.0);
        var tapes = new HashSet<string>();
        var used = 0;
        for (var i = 0; i < sounds.Length; i++)
        {
            if (placeOf[i] is null)
                continue;
            count++;
            seconds += sounds[i].Seconds;
        }
        for (var p = 0; p < places.Length; p++)
        {
            var own = Enumerable.Range(0, sounds.Length).Where(i => placeOf[i] == p).ToArray();
            if (own.Length == 0)
                continue;
            used++;
            tapes.Add(places[p].Tape);
            left += places[p].Seconds - own.Sum(i => sounds[i].Seconds) - Gap * (own.Length - 1);
        }
        return [count, seconds, -tapes.Count, -used, -left];
    }

    private static IEnumerable<double[]> All(PackedSound[] sounds, PackingPlace[] places)
    {
        var ways = Math.Pow(places.Length + 1, sounds.Length);
        var placeOf = new int?[sounds.Length];
        for (var way = 0; way < ways; way++)
        {
            var rest = way;
            for (var i = 0; i < sounds.Length; i++)
            {
                placeOf[i] = rest % (places.Length + 1) is var p && p < places.Length ? p : null;
                rest /= places.Length + 1;
            }
            var fits = true;
            for (var p = 0; p < places.Length; p++)
            {
                var own = sounds.Where((_, i) => placeOf[i] == p).ToArray();
                fits &= own.Sum(s => s.Seconds) + Gap * Math.Max(0, own.Length - 1) <= places[p].Seconds;
            }
            if (fits)
                yield return Value(sounds, places, placeOf);
        }
    }

    private static int Compare(double[] a, double[] b)
    {
        for (var i = 0; i < a.Length; i++)
        {
            if (Math.Abs(a[i] - b[i]) > 1e-6)
                return a[i].CompareTo(b[i]);
        }
        return 0;
    }

    [Fact]
    public void A_sound_longer_than_any_place_goes_nowhere_and_the_others_do()
    {
        var packing = StretchPacking.Fit([new("long", 100), new("short", 10)], [new("A", "tape", 60)], Gap);
        Assert.Equal([null, 0], packing.PlaceOf);
        Assert.Equal(1, packing.PlacedCount);
    }
}
