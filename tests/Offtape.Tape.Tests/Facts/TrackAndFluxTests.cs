using Offtape.Testing;

namespace Offtape.Tape.Tests;

/// <summary>Checks the geometry of tracks against what is known of who can play what, and fluxivities against their table of levels.</summary>
public sealed class TrackAndFluxTests
{
    [Fact]
    public void Tracks_lie_on_the_tape_and_beside_each_other()
    {
        foreach (var format in TrackFormats.All)
        {
            for (var i = 0; i < format.Tracks.Count; i++)
            {
                var track = format.Tracks[i];
                Assert.Equal(i + 1, track.Number);
                Measured.AtLeast(-1e-9, track.CentreMm - track.WidthMm / 2, $"{format.Name}: near edge of track {i + 1}");
                Measured.AtMost(format.TapeWidthMm + 1e-9, track.CentreMm + track.WidthMm / 2, $"{format.Name}: far edge");
                if (i > 0)
                    Measured.AtLeast(
                        0.29,
                        track.CentreMm - track.WidthMm / 2 - format.Tracks[i - 1].CentreMm - format.Tracks[i - 1].WidthMm / 2,
                        $"{format.Name}: guard"
                    );
            }
        }
    }

    /// <summary>Published widths: cassette 1.5 and 0.6 mm with 0.3 between; reels 2.75 (DIN), 2.1 (NAB), 1.0 mm (quarter-track).</summary>
    [Fact]
    public void Widths_are_the_published_ones()
    {
        Assert.All(TrackFormats.CassetteMono.Tracks, t => Assert.Equal(1.5, t.WidthMm));
        Assert.All(TrackFormats.CassetteStereo.Tracks, t => Assert.Equal(0.6, t.WidthMm));
        Assert.All(TrackFormats.HalfTrackStereoDin.Tracks, t => Assert.Equal(2.75, t.WidthMm));
        Assert.All(TrackFormats.HalfTrackStereoNab.Tracks, t => Assert.Equal(2.1, t.WidthMm));
        Assert.All(TrackFormats.QuarterTrackStereo.Tracks, t => Assert.Equal(1, t.WidthMm));
        Measured.Within(0.9, TrackFormats.CassetteStereo.SpacingMm(1, 2), 1e-12, "cassette left to right");
        Measured.Within(3.5, TrackFormats.HalfTrackStereoDin.SpacingMm(1, 2), 1e-12, "DIN stereo left to right");
    }

    /// <summary>A cassette turned over plays its other side, by geometry.</summary>
    [Fact]
    public void A_stereo_cassette_plays_side_A_and_turned_over_side_B()
    {
        var stereo = TrackFormats.CassetteStereo;
        Assert.Equal([(1, 1, false), (2, 2, false)], Brief(stereo.HeardOn(stereo)));
        Assert.Equal([(1, 4, false), (2, 3, false)], Brief(stereo.HeardOn(stereo, isTurnedOver: true)));
    }

    [Fact]
    public void Mono_and_stereo_cassettes_play_each_other()
    {
        // A mono head takes in both stereo tracks, a stereo head finds the mono track on both.
        Assert.Equal([(1, 1, false), (1, 2, false)], Brief(TrackFormats.CassetteStereo.HeardOn(TrackFormats.CassetteMono)));
        Assert.Equal([(1, 1, false), (2, 1, false)], Brief(TrackFormats.CassetteMono.HeardOn(TrackFormats.CassetteStereo)));
    }

    /// <summary>A multitrack cassette on a stereo player: tracks 1 and 2 forwards, and turned over 4 and 3 backwards.</summary>
    [Fact]
    public void A_four_track_cassette_on_a_stereo_player_has_two_tracks_backwards()
    {
        var tape = TrackFormats.CassetteFourTrack;
        Assert.Equal([(1, 1, false), (2, 2, false)], Brief(tape.HeardOn(TrackFormats.CassetteStereo)));
        Assert.Equal([(1, 4, true), (2, 3, true)], Brief(tape.HeardOn(TrackFormats.CassetteStereo, isTurnedOver: true)));
        // And a stereo cassette in a multitrack recorder: side B comes backwards on tracks 3 and 4.
        Assert.Equal(
            [(1, 1, false), (2, 2, false), (3, 3, true), (4, 4, true)],
            Brief(TrackFormats.CassetteStereo.HeardOn(TrackFormats.CassetteFourTrack))
        );
    }

    /// <summary>Quarter-track tapes of two sides on a half-track head give the other side backwards beside their own.</summary>
    [Fact]
    public void A_quarter_track_tape_on_a_half_track_machine_mixes_in_the_other_side()
    {
        var heard = TrackFormats.QuarterTrackStereo.HeardOn(TrackFormats.HalfTrackStereoDin);
        Assert.Contains(heard, h => h is { ReplayTrack: 1, RecordedTrack: 1, IsBackwards: false });
        Assert.Contains(heard, h => h is { ReplayTrack: 1, RecordedTrack: 2, IsBackwards: true });
        Assert.Contains(heard, h => h is { ReplayTrack: 2, RecordedTrack: 3, IsBackwards: false });
        Assert.Contains(heard, h => h is { ReplayTrack: 2, RecordedTrack: 4, IsBackwards: true });
    }

    [Fact]
    public void Quarter_track_side_A_is_1_and_3_and_side_B_4_and_2()
    {
        var quarter = TrackFormats.QuarterTrackStereo;
        Assert.Equal([(1, 1, false), (3, 3, false)], Brief(quarter.HeardOn(quarter)));
        Assert.Equal([(1, 4, false), (3, 2, false)], Brief(quarter.HeardOn(quarter, isTurnedOver: true)));
        // A half-track stereo recording plays on quarter-track heads.
        Assert.Equal([(1, 1, false), (3, 2, false)], Brief(TrackFormats.HalfTrackStereoDin.HeardOn(quarter)));
        Assert.Equal([(1, 1, false), (3, 1, false)], Brief(TrackFormats.FullTrack.HeardOn(quarter)));
    }

    /// <summary>20·log10 and 10·log10 of widths (arithmetic); a full-width mono head gains at most about 4 dB (R. Hess).</summary>
    [Theory, InlineData(1.5, 0.6, -7.96, -3.98), InlineData(2.75, 2.1, -2.34, -1.17), InlineData(6.3, 2.0, -9.97, -4.98)]
    public void A_narrower_head_loses_level_and_noise(double wide, double narrow, double levelDb, double noiseDb)
    {
        Measured.Within(levelDb, TrackFormat.NarrowHeadLevelDb(wide, narrow), 0.0051, "level in dB");
        Measured.Within(noiseDb, TrackFormat.NarrowHeadNoiseDb(wide, narrow), 0.0051, "noise in dB");
        Assert.Equal(0, TrackFormat.NarrowHeadLevelDb(narrow, wide));
    }

    /// <summary>20·log10(φ/φref), arithmetic, to three decimals; and the rounded American names (MRL Publication 070).</summary>
    [Theory]
    [InlineData(160, -1.261, -1.938, -3.876, -6.021)]
    [InlineData(185, 0, -0.677, -2.615, -4.760)]
    [InlineData(220, 1.505, 0.828, -1.110, -3.255)]
    [InlineData(250, 2.615, 1.938, 0, -2.144)]
    [InlineData(320, 4.760, 4.082, 2.144, 0)]
    [InlineData(355, 5.661, 4.984, 3.046, 0.902)]
    [InlineData(514, 8.876, 8.199, 6.260, 4.116)]
    public void Levels_between_fluxivities(double flux, double re185, double re200, double re250, double re320)
    {
        Measured.Within(re185, Fluxivity.LevelDb(flux, 185), 0.00051, "re 185");
        Measured.Within(re200, Fluxivity.LevelDb(flux, 200), 0.00051, "re 200");
        Measured.Within(re250, Fluxivity.LevelDb(flux, 250), 0.00051, "re 250");
        Measured.Within(re320, Fluxivity.LevelDb(flux, 320), 0.00051, "re 320");
    }

    [Fact]
    public void The_american_plus_three_and_plus_six_are_rounded_names()
    {
        Measured.Within(2.853, Fluxivity.LevelDb(250, 180), 0.00051, "250 re 180");
        Measured.Within(5.899, Fluxivity.LevelDb(355, 180), 0.00051, "355 re 180");
        Assert.Contains(Fluxivity.All, f => f.NanowebersPerMetre == 250 && f.FrequencyHz == 315);
    }

    /// <summary>200 mMx over 6.25 mm are 320 nWb/m, 160 mMx are 256 (DIN 45 513 draft of 1955); 320 on a label is 288, −0.92 dB.</summary>
    [Fact]
    public void German_labels_and_maxwells()
    {
        Measured.Within(320, Fluxivity.FromMillimaxwells(200, 6.25), 1e-9, "200 mMx");
        Measured.Within(256, Fluxivity.FromMillimaxwells(160, 6.25), 1e-9, "160 mMx");
        Measured.Within(288, Fluxivity.FromGermanLabel(320), 1e-9, "by short circuit");
        Measured.Within(-0.92, Fluxivity.LevelDb(Fluxivity.FromGermanLabel(320), 320), 0.0051, "in dB");
    }

    private static IEnumerable<(int, int, bool)> Brief(IReadOnlyList<HeardTrack> heard) =>
        heard.Select(h => (h.ReplayTrack, h.RecordedTrack, h.IsBackwards));
}
