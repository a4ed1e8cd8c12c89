using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Tape.Tests;

/// <summary>
/// Checks replay losses against values worked out apart from this program from the published formulas (Eargle 167.1, Wallace 1951), to their
/// printed decimals, and against McKnight's published table of azimuth.
/// </summary>
public sealed class ReplayLossTests
{
    private const double Decimals = 0.00051;

    private static readonly TapeSpeed Cassette = new(4.7625);

    [Theory]
    [InlineData(0.25, -0.912, -1.130)]
    [InlineData(1.0 / 3, -1.650, -2.053)]
    [InlineData(0.5, -3.922, -4.959)]
    [InlineData(0.75, -10.455, -14.33)]
    public void Gap_loss_is_that_of_the_aperture(double gapPerWavelength, double simpleDb, double handbookDb)
    {
        Measured.Within(simpleDb, ReplayLosses.SimpleGapDb(gapPerWavelength * 8, 8), Decimals, "simple, in dB");
        Measured.Within(handbookDb, ReplayLosses.GapDb(gapPerWavelength * 8, 8), 10 * Decimals, "with effective length, in dB");
    }

    /// <summary>Gaps of 1 µm and 1.5 µm on a cassette.</summary>
    [Theory]
    [InlineData(1.0, 10_000, -0.639, -0.791)]
    [InlineData(1.0, 12_500, -1.008, -1.249)]
    [InlineData(1.0, 16_000, -1.677, -2.087)]
    [InlineData(1.5, 15_000, -3.463, -4.362)]
    public void Gap_loss_of_a_cassette_head(double gap, double frequencyHz, double simpleDb, double handbookDb)
    {
        var wavelength = Cassette.WavelengthMicrometres(frequencyHz);
        Measured.Within(simpleDb, ReplayLosses.SimpleGapDb(gap, wavelength), Decimals, "simple, in dB");
        Measured.Within(handbookDb, ReplayLosses.GapDb(gap, wavelength), Decimals, "with effective length, in dB");
    }

    /// <summary>The first null lies near 1.12 optical gaps, and λ/2 = gap is about 4 dB down (Mallinson, Foundations of Magnetic Recording).</summary>
    [Fact]
    public void The_first_null_lies_where_the_handbook_says()
    {
        Measured.AtMost(-60, ReplayLosses.GapDb(1, 1.11), "loss at the null in dB");
        Measured.Within(-4, ReplayLosses.SimpleGapDb(1, 2), 0.1, "loss at half a wavelength in dB");
    }

    [Theory, InlineData(4.7625, -11.459), InlineData(9.525, -5.730), InlineData(19.05, -2.865), InlineData(38.1, -1.432)]
    public void One_micrometre_of_spacing_at_10_kHz(double cmPerSecond, double decibels) =>
        Measured.Within(decibels, ReplayLosses.SpacingDb(1, new TapeSpeed(cmPerSecond).WavelengthMicrometres(10_000)), Decimals, "in dB");

    /// <summary>Wallace's constant, 54.6 in print, 40π·log10 e exactly.</summary>
    [Fact]
    public void Spacing_loss_has_its_constant()
    {
        Measured.Within(-54.6, ReplayLosses.SpacingDb(1, 1), 0.05, "one wavelength in dB");
        Measured.Within(-54.575, ReplayLosses.SpacingDb(1, 1), Decimals, "one wavelength in dB");
        Measured.Within(-1.833, ReplayLosses.SpacingDb(0.1, Cassette.WavelengthMicrometres(16_000)), Decimals, "0.1 µm at 16 kHz");
    }

    /// <summary>
    /// Cassette calibration tapes of different makers differed by about 4 dB at 16 kHz: 0.2 µm of spacing, or a gap taken for 0.45 µm that was
    /// 1.4 µm (R. Hess, "Cassette equalization: the 4 dB ambiguity at 16 kHz").
    /// </summary>
    [Fact]
    public void Either_explanation_of_the_four_decibel_ambiguity_gives_about_four_decibels()
    {
        var wavelength = Cassette.WavelengthMicrometres(16_000);
        Measured.Within(2.977, wavelength, Decimals, "wavelength in µm");
        Measured.Within(-3.67, ReplayLosses.SpacingDb(0.2, wavelength), 0.0051, "spacing");
        Measured.Within(
            3.10,
            ReplayLosses.SimpleGapDb(0.45, wavelength) - ReplayLosses.SimpleGapDb(1.4, wavelength),
            0.0051,
            "gap, simple"
        );
        Measured.Within(3.91, ReplayLosses.GapDb(0.45, wavelength) - ReplayLosses.GapDb(1.4, wavelength), 0.0051, "gap, effective");
    }

    [Theory]
    [InlineData(5, 4.7625, 1000, -2.708), InlineData(5, 4.7625, 10_000, -16.398)]
    [InlineData(10, 19.05, 1000, -1.393), InlineData(10, 19.05, 10_000, -10.693)]
    [InlineData(14, 38.1, 1000, -0.983), InlineData(14, 38.1, 10_000, -8.177), InlineData(14, 38.1, 15_000, -11.066)]
    public void Thickness_loss_is_wallaces(double thickness, double cmPerSecond, double frequencyHz, double decibels) =>
        Measured.Within(
            decibels,
            ReplayLosses.ThicknessDb(thickness, new TapeSpeed(cmPerSecond).WavelengthMicrometres(frequencyHz)),
            Decimals,
            "in dB"
        );

    [Theory]
    [InlineData(0.6, 4.7625, 10_000, 5, -0.485), InlineData(0.6, 4.7625, 10_000, 10, -2.012), InlineData(0.6, 4.7625, 10_000, 20, -9.814)]
    [InlineData(0.6, 4.7625, 15_000, 10, -4.852), InlineData(1.5, 4.7625, 10_000, 5, -3.238), InlineData(2, 19.05, 10_000, 10, -1.376)]
    [InlineData(6.3, 38.1, 15_000, 5, -1.946)]
    public void Azimuth_loss_is_that_of_the_aperture(double width, double cmPerSecond, double frequencyHz, double minutes, double decibels)
    {
        var wavelength = new TapeSpeed(cmPerSecond).WavelengthMicrometres(frequencyHz);
        Measured.Within(decibels, ReplayLosses.AzimuthDb(width, Conversions.ArcMinutesToRadians(minutes), wavelength), Decimals, "in dB");
    }

    /// <summary>
    /// J. McKnight, "Azimuth in a Magnetic Tape Recorder": phase at 10 kHz between 2 mm edge tracks of 6.3 mm tape (4 mm apart) for 300 µrad:
    /// ±45° at 95 mm/s and ±22° at 190 mm/s; 12.5 mm tape (9.7 mm apart) ±110° at 95 mm/s. Tolerance: his rounding.
    /// </summary>
    [Theory, InlineData(9.525, 4.0, 45, 1), InlineData(19.05, 4.0, 22, 1), InlineData(9.525, 9.7, 110, 1)]
    public void Phase_between_tracks_is_mcknights(double cmPerSecond, double spacingMm, double degrees, double tolerance) =>
        Measured.Within(
            degrees,
            ReplayLosses.InterTrackSeconds(spacingMm, 300e-6, new TapeSpeed(cmPerSecond)) * 10_000 * 360,
            tolerance,
            "degrees"
        );

    /// <summary>Cassette left and right, 0.9 mm apart: 300 µrad is 5.67 µs, 10′ is 54.97 µs (arithmetic).</summary>
    [Fact]
    public void Delay_between_the_tracks_of_a_cassette()
    {
        var spacing = TrackFormats.CassetteStereo.SpacingMm(1, 2);
        Measured.Within(0.9, spacing, 1e-9, "spacing in mm");
        Measured.Within(5.67e-6, ReplayLosses.InterTrackSeconds(spacing, 300e-6, Cassette), 0.0051e-6, "seconds");
        var late = ReplayLosses.InterTrackSeconds(spacing, Conversions.ArcMinutesToRadians(10), Cassette);
        Measured.Within(54.97e-6, late, 0.0051e-6, "seconds");
        Measured.Within(Conversions.ArcMinutesToRadians(10), ReplayLosses.AzimuthRadians(spacing, late, Cassette), 1e-12, "angle back");
    }

    [Fact]
    public void No_gap_no_distance_no_coating_no_angle_no_loss()
    {
        Assert.Equal(0, ReplayLosses.GapDb(0, 5));
        Assert.Equal(0, ReplayLosses.SpacingDb(0, 5));
        Assert.Equal(0, ReplayLosses.ThicknessDb(0, 5));
        Assert.Equal(0, ReplayLosses.AzimuthDb(0.6, 0, 5));
    }
}
