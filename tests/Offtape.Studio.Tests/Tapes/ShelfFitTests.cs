using Offtape.Base;
using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Studio.Tests;

/// <summary>Where sounds fit on a tape of several tracks, against every way to cut its tracks into lanes and every place for every sound.</summary>
public sealed class ShelfFitTests
{
    private const double Gap = 2;
    private static readonly TapeSpeed Speed = new(10);
    private static readonly SideMargins NoMargins = new(0, 0);

    [Fact]
    public void A_fit_is_as_good_as_the_best_of_all_ways_in_200_random_cases()
    {
        var random = new Random(23);
        for (var run = 0; run < 200; run++)
        {
            // Whole metres at 10 cm/s: ten seconds each.
            var stretches = Enumerable
                .Range(0, random.Next(4))
                .Select(i =>
                {
                    var from = random.Next(18);
                    int[] tracks = random.Next(4) == 0 ? [] : [1 + random.Next(4)];
                    return new UsedStretch(from, from + 1 + random.Next(8)) { At = $"{i}", Tracks = tracks };
                })
                .ToArray();
            var side = new TapeSide("A", 20) { TrackNumbers = [1, 2, 3, 4], Stretches = stretches };
            var tape = new TapeEntry("LQ-4") { Sides = [side] };
            var sounds = Enumerable
                .Range(0, 1 + random.Next(4))
                .Select(i => new PackedSound($"{i}", 10 + random.Next(120)) { ChannelCount = random.Next(3) == 0 ? 2 : 1 })
                .ToArray();
            var fit = ShelfFit.Of(sounds, [tape], Speed, NoMargins, Gap, []);
            Assert.True(fit.IsProven);
            HoldsNothingTwice(fit, side, sounds);
            var best = Best(side, sounds);
            Assert.Equal(best.Count, fit.Sounds.Count(s => s.Place is not null));
            Measured.Within(best.Seconds, fit.Sounds.Where(s => s.Place is not null).Sum(s => s.TapeSeconds), 1e-6, "s placed");
        }
    }

    /// <summary>Two recordings of one track: the other three are free for all of the side, and five stems find room where the whole side has none.</summary>
    [Fact]
    public void Five_stems_fit_beside_a_track_that_is_full()
    {
        var tape = new TapeEntry("LQ-4")
        {
            Sides =
            [
                new TapeSide("A", 20) { TrackNumbers = [1, 2, 3, 4], Stretches = [new UsedStretch(0, 20) { At = "1", Tracks = [1] }] },
            ],
        };
        PackedSound[] stems =
        [
            new("bass", 90),
            new("kit", 90) { ChannelCount = 2 },
            new("glass", 80),
            new("marimba", 90),
            new("pulse", 90),
        ];
        var fit = ShelfFit.Of(stems, [tape], Speed, NoMargins, Gap, []);
        Assert.True(fit.IsComplete);
        Assert.All(fit.Sounds, s => Assert.DoesNotContain(1, s.Tracks));
        Assert.Equal(2, fit.Sounds[1].Tracks.Count);
        // The whole of the side at once, as before: nothing is free on all four tracks.
        Assert.Empty(tape.Sides[0].Free(Speed, NoMargins));
        // On a tape whose passes do not say their tracks, the whole side is recorded.
        var old = tape with
        {
            Sides = [tape.Sides[0] with { Stretches = [new UsedStretch(0, 20) { At = "1" }] }],
        };
        Assert.All(ShelfFit.Of(stems, [old], Speed, NoMargins, Gap, []).Sounds, s => Assert.Null(s.Place));
    }

    /// <summary>Each on as many tracks as it has channels, and a gap from whatever else is on one of them.</summary>
    private static void HoldsNothingTwice(ShelfFit fit, TapeSide side, PackedSound[] sounds)
    {
        var gap = Gap * Speed.MetresPerSecond - 1e-9;
        var placed = fit.Sounds.Select((s, i) => (Fitted: s, Sound: sounds[i])).Where(p => p.Fitted.Place is not null).ToArray();
        foreach (var (fitted, sound) in placed)
        {
            var (from, to) = (fitted.StartMetres!.Value, fitted.StartMetres.Value + sound.Seconds * Speed.MetresPerSecond);
            Assert.Equal(sound.ChannelCount, fitted.Tracks.Count);
            Assert.True(to <= 20 + 1e-9);
            Assert.DoesNotContain(
                side.Stretches,
                s => s.FromMetres < to + gap && s.ToMetres > from - gap && (s.Tracks.Count == 0 || s.Tracks.Any(fitted.Tracks.Contains))
            );
            foreach (var (other, otherSound) in placed.Where(p => !ReferenceEquals(p.Fitted, fitted)))
                Assert.False(
                    other.Tracks.Any(fitted.Tracks.Contains)
                        && other.StartMetres < to + gap
                        && other.StartMetres + otherSound.Seconds * Speed.MetresPerSecond > from - gap
                );
        }
    }

    // Written anew: cuts between the four tracks as bits (lanes of one or two), free places by tenths of a metre, each sound on any track of any
    // place or on none; sounds of two channels before the others.
    private static (int Count, double Seconds) Best(TapeSide side, PackedSound[] sounds)
    {
        var best = (Count: 0, Seconds: 0.0);
        for (var cuts = 0; cuts < 8; cuts++)
        {
            var lanes = new List<List<int>> { new() { 1 } };
            for (var t = 2; t <= 4; t++)
                if ((cuts >> (t - 2) & 1) == 1)
                    lanes.Add([t]);
                else
                    lanes[^1].Add(t);
            if (lanes.Any(l => l.Count > 2))
                continue;
            var places = lanes.SelectMany(l => Free(side, l).Select(s => (Seconds: s, Width: l.Count))).ToArray();
            var spots = places.SelectMany((p, n) => Enumerable.Range(0, p.Width).Select(t => (Place: n, Track: t))).ToArray();
            var ways = (int)Math.Pow(spots.Length + 1, sounds.Length);
            for (var way = 0; way < ways; way++)
            {
                var (rest, count, seconds, fits) = (way, 0, 0.0, true);
                var both = new List<double>[places.Length];
                var single = new List<double>[places.Length, 2];
                foreach (var sound in sounds)
                {
                    var spot = rest % (spots.Length + 1);
                    rest /= spots.Length + 1;
                    if (spot == spots.Length)
                        continue;
                    var (p, t) = spots[spot];
                    fits &= t + sound.ChannelCount <= places[p].Width;
                    if (sound.ChannelCount == 2)
                        (both[p] ??= []).Add(sound.Seconds);
                    else
                        (single[p, t] ??= []).Add(sound.Seconds);
                    (count, seconds) = (count + 1, seconds + sound.Seconds);
                }
                for (var p = 0; fits && p < places.Length; p++)
                for (var t = 0; t < 2; t++)
                {
                    double[] track = [.. both[p] ?? [], .. single[p, t] ?? []];
                    fits &= track.Sum() + Gap * Math.Max(0, track.Length - 1) <= places[p].Seconds + 1e-9;
                }
                if (fits && (count > best.Count || (count == best.Count && seconds > best.Seconds)))
                    best = (count, seconds);
            }
        }
        return best;
    }

    private static IEnumerable<double> Free(TapeSide side, List<int> lane)
    {
        var length = 0;
        var hasLeft = false;
        for (var i = 0; i <= 200; i++)
        {
            var x = i / 10.0 + 0.05;
            var isFree =
                i < 200
                && !side.Stretches.Any(s => x > s.FromMetres && x < s.ToMetres && (s.Tracks.Count == 0 || s.Tracks.Any(lane.Contains)));
            if (isFree)
            {
                // What is recorded beside it is not to be touched: a gap at that end, which is seconds at 10 cm/s.
                hasLeft = length == 0 ? i > 0 : hasLeft;
                length++;
                continue;
            }
            if (length > 0)
                yield return length - (hasLeft ? Gap : 0) - (i < 200 ? Gap : 0);
            length = 0;
        }
    }
}
