using Offtape.Base;
using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Studio.Tests;

/// <summary>What is free and how often a place was used, against the same asked millimetre by millimetre or worked out by hand.</summary>
public sealed class TapeSideTests
{
    private static readonly TapeSpeed Speed = TapeSpeeds.SevenAndAHalf.Speed;

    private static UsedStretch Used(double from, double to, string at, params int[] tracks) => new(from, to) { At = at, Tracks = tracks };

    /// <summary>Playing times of the usual lengths: a side of a C60 half an hour (its name), 1200 ft at 7½ in/s 32 minutes (exact; R. Hess's chart prints 30).</summary>
    [
        Theory,
        InlineData("C60", 4.7625, 30),
        InlineData("C90", 9.525, 22.5),
        InlineData("1200ft", 19.05, 32),
        InlineData("2500ft", 38.1, 33.3333333)
    ]
    public void A_side_plays_as_long_as_its_length_takes(string tape, double cmPerSecond, double minutes)
    {
        var side = new TapeSide("A", TapeLengths.MetresOf(tape));
        Measured.Within(minutes * 60, side.PlayingSeconds(new TapeSpeed(cmPerSecond))!.Value, 1e-4, "s");
        // An empty side is free from margin to margin: five seconds at either end.
        var free = Assert.Single(side.Free(new TapeSpeed(cmPerSecond), new SideMargins()));
        Measured.Within(minutes * 60 - 10, free.Seconds(new TapeSpeed(cmPerSecond)), 1e-4, "s free");
    }

    [Fact]
    public void What_is_free_is_what_no_recording_touches_millimetre_by_millimetre()
    {
        var random = new Random(7);
        for (var run = 0; run < 100; run++)
        {
            var stretches = Enumerable
                .Range(0, random.Next(6))
                .Select(i =>
                {
                    var from = Math.Round(100 * random.NextDouble(), 2);
                    int[] tracks = random.Next(3) == 0 ? [] : [1 + random.Next(4)];
                    return Used(from, from + Math.Round(0.5 + 30 * random.NextDouble(), 2), $"{i}", tracks);
                })
                .ToArray();
            var side = new TapeSide("A", 100) { TrackNumbers = [1, 2, 3, 4], Stretches = stretches };
            int[] wanted = random.Next(2) == 0 ? [] : [1 + random.Next(4)];
            var free = side.Free(Speed, new SideMargins(10, 20), wanted);
            // 10 s and 20 s at 19.05 cm/s.
            var (first, last) = (1.905, 100 - 3.81);
            for (var x = 0.0005; x < 100; x += 0.0307)
            {
                var isFree =
                    x > first
                    && x < last
                    && !stretches.Any(s =>
                        x > s.FromMetres && x < s.ToMetres && (s.Tracks.Count == 0 || wanted.Length == 0 || s.Tracks.Any(wanted.Contains))
                    );
                Assert.Equal(isFree, free.Any(f => x > f.FromMetres && x < f.ToMetres));
            }
            Assert.All(free.Zip(free.Skip(1)), pair => Assert.True(pair.First.ToMetres < pair.Second.FromMetres));
        }
    }

    [Fact]
    public void How_often_a_place_was_used_is_how_many_recordings_lie_on_it()
    {
        var random = new Random(8);
        for (var run = 0; run < 100; run++)
        {
            var stretches = new List<UsedStretch>();
            for (var i = 0; i < random.Next(7); i++)
            {
                var from = Math.Round(50 * random.NextDouble(), 2);
                stretches.Add(Used(from, from + 1 + Math.Round(20 * random.NextDouble(), 2), $"{i:00}"));
            }
            var uses = new TapeSide("A", 100) { Stretches = [.. stretches.OrderBy(_ => random.Next())] }.Uses(1);
            for (var x = 0.0005; x < 80; x += 0.0311)
            {
                var over = stretches.Where(s => x > s.FromMetres && x < s.ToMetres).ToArray();
                var use = uses.SingleOrDefault(u => x > u.FromMetres && x < u.ToMetres);
                Assert.Equal(over.Length, use?.Times ?? 0);
                Assert.Equal(over.LastOrDefault(), use?.Now);
            }
        }
    }

    /// <summary>
    /// On a tape of several tracks, of which each recording takes some, counted as a log counts: one more than the most that lay under it on any
    /// of its tracks. The truth is how many recordings of a track lie over a point of it.
    /// </summary>
    [Fact]
    public void How_often_a_track_was_used_is_how_many_recordings_of_that_track_lie_there()
    {
        var random = new Random(9);
        for (var run = 0; run < 100; run++)
        {
            var stretches = new List<UsedStretch>();
            for (var i = 0; i < random.Next(8); i++)
            {
                var from = Math.Round(30 * random.NextDouble(), 2);
                int[] tracks = random.Next(4) == 0 ? [] : [.. Enumerable.Range(1, 4).Where(_ => random.Next(2) == 0)];
                var next = Used(from, from + 1 + Math.Round(20 * random.NextDouble(), 2), $"{i:00}", tracks);
                var under = stretches.Where(s =>
                    s.FromMetres < next.ToMetres
                    && s.ToMetres > next.FromMetres
                    && Enumerable.Range(1, 4).Any(t => IsOn(s, t) && IsOn(next, t))
                );
                stretches.Add(next with { Times = 1 + under.Select(s => s.Times).DefaultIfEmpty(0).Max() });
            }
            var side = new TapeSide("A", 100) { TrackNumbers = [1, 2, 3, 4], Stretches = [.. stretches.OrderBy(_ => random.Next())] };
            foreach (var track in side.TrackNumbers)
            {
                var uses = side.Uses(track);
                var latest = BoxSheet.Latest(side).Where(u => u.Tracks.Count == 0 || u.Tracks.Contains(track)).ToArray();
                var free = side.FreeByTrack(Speed, new SideMargins(0, 0)).Single(f => f.Tracks.Count == 0 || f.Tracks.Contains(track)).Free;
                for (var x = 0.0005; x < 60; x += 0.0311)
                {
                    var over = stretches.Where(s => x > s.FromMetres && x < s.ToMetres && IsOn(s, track)).ToArray();
                    var use = uses.SingleOrDefault(u => x > u.FromMetres && x < u.ToMetres);
                    Assert.Equal(over.Length, use?.Times ?? 0);
                    Assert.Equal(over.LastOrDefault(), use?.Now);
                    // What is written on the box, and what is told to be free, is the same of every track.
                    Assert.Equal(over.Length, latest.SingleOrDefault(u => x > u.FromMetres && x < u.ToMetres)?.Times ?? 0);
                    Assert.Equal(over.Length == 0, free.Any(f => x > f.FromMetres && x < f.ToMetres));
                }
            }
        }
    }

    /// <summary>Five times on track 1 say nothing of track 2: twice in all, as it was typed, are two there.</summary>
    [Fact]
    public void A_typed_count_is_of_its_own_tracks()
    {
        var side = new TapeSide("A", 100)
        {
            TrackNumbers = [1, 2],
            Stretches =
            [
                Used(0, 10, "1", 1) with
                {
                    Times = 5,
                },
                Used(0, 10, "2", 2) with
                {
                    Times = 2,
                },
                Used(0, 10, "3") with
                {
                    Times = 6,
                },
            ],
        };
        Assert.Equal(6, Assert.Single(side.Uses(1)).Times);
        Assert.Equal(3, Assert.Single(side.Uses(2)).Times);
    }

    private static bool IsOn(UsedStretch stretch, int track) => stretch.Tracks.Count == 0 || stretch.Tracks.Contains(track);

    /// <summary>A log counts as it goes: a line of three times on a line of two is one more recording, not five; a used tape begins with its own count.</summary>
    [Fact]
    public void A_count_that_goes_on_is_not_counted_twice()
    {
        var side = new TapeSide("A", 100) { Stretches = [Used(0, 10, "1") with { Times = 2 }, Used(5, 15, "2") with { Times = 3 }] };
        Assert.Equal([(0.0, 5.0, 2), (5.0, 10.0, 3), (10.0, 15.0, 1)], side.Uses(1).Select(u => (u.FromMetres, u.ToMetres, u.Times)));
    }

    [Fact]
    public void Of_a_side_of_unknown_length_nothing_is_known_to_be_free() =>
        Assert.Empty(new TapeSide("A", null).Free(Speed, new SideMargins()));
}
