using System.Numerics;
using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>The weightings against the printed tables: IEC 61672-1:2013, table 3, and ITU-R BS.468-4, table 1.</summary>
public sealed class NoiseWeightingTests
{
    /// <summary>IEC 61672-1:2013, table 3: nominal frequency, A weighting, class 1 limits above and below.</summary>
    private static readonly (double NominalHz, double Db, double Above, double Below)[] TableA =
    [
        (10, -70.4, 3, double.PositiveInfinity),
        (12.5, -63.4, 2.5, double.PositiveInfinity),
        (16, -56.7, 2, 4),
        (20, -50.5, 2, 2),
        (25, -44.7, 2, 1.5),
        (31.5, -39.4, 1.5, 1.5),
        (40, -34.6, 1, 1),
        (50, -30.2, 1, 1),
        (63, -26.2, 1, 1),
        (80, -22.5, 1, 1),
        (100, -19.1, 1, 1),
        (125, -16.1, 1, 1),
        (160, -13.4, 1, 1),
        (200, -10.9, 1, 1),
        (250, -8.6, 1, 1),
        (315, -6.6, 1, 1),
        (400, -4.8, 1, 1),
        (500, -3.2, 1, 1),
        (630, -1.9, 1, 1),
        (800, -0.8, 1, 1),
        (1000, 0, 0.7, 0.7),
        (1250, 0.6, 1, 1),
        (1600, 1.0, 1, 1),
        (2000, 1.2, 1, 1),
        (2500, 1.3, 1, 1),
        (3150, 1.2, 1, 1),
        (4000, 1.0, 1, 1),
        (5000, 0.5, 1.5, 1.5),
        (6300, -0.1, 1.5, 2),
        (8000, -1.1, 1.5, 2.5),
        (10_000, -2.5, 2, 3),
        (12_500, -4.3, 2, 5),
        (16_000, -6.6, 2.5, 16),
        (20_000, -9.3, 3, double.PositiveInfinity),
    ];

    /// <summary>ITU-R BS.468-4, table 1: frequency, response, tolerance either way.</summary>
    private static readonly (double Hz, double Db, double Tolerance)[] Table468 =
    [
        (31.5, -29.9, 2.0),
        (63, -23.9, 1.4),
        (100, -19.8, 1.0),
        (200, -13.8, 0.85),
        (400, -7.8, 0.7),
        (800, -1.9, 0.55),
        (1000, 0, 0.5),
        (2000, 5.6, 0.5),
        (3150, 9.0, 0.5),
        (4000, 10.5, 0.5),
        (5000, 11.7, 0.5),
        // The Recommendation allows nothing here: the gain is set to it. Half of the printed digit is what a number of one decimal can hold.
        (6300, 12.2, 0.05),
        (7100, 12.0, 0.2),
        (8000, 11.4, 0.4),
        (9000, 10.1, 0.6),
        (10_000, 8.1, 0.8),
        (12_500, 0, 1.2),
        (14_000, -5.3, 1.4),
        (16_000, -11.7, 1.6),
        (20_000, -22.2, 2.0),
        (31_500, -42.7, 2.8),
    ];

    /// <summary>The table is for exact base-ten frequencies (31.62 Hz, not 31.5): there the poles give its printed digit.</summary>
    [Fact]
    public void A_weighting_is_the_table_at_exact_base_ten_frequencies()
    {
        foreach (var (nominalHz, db, above, below) in TableA)
        {
            var exactHz = ThirdOctaves.MidHz(ThirdOctaves.BandOf(nominalHz));
            var got = AWeighting.GainDbAt(exactHz);
            Measured.Within(db, got, 0.05 + 1e-9, $"A at {exactHz:0.0} Hz");
            Assert.InRange(got, db - below, db + above);
        }
    }

    [Fact]
    public void The_formula_of_BS_468_stays_within_the_tolerances_of_its_table()
    {
        foreach (var (hz, db, tolerance) in Table468)
            Measured.Within(db, Bs468Weighting.GainDbAt(hz), tolerance, $"468 at {hz} Hz");
    }

    /// <summary>The same for what a signal really goes through, at several rates, as far as a rate holds the frequency with room to spare.</summary>
    [Theory]
    [InlineData(32_000)]
    [InlineData(44_100)]
    [InlineData(48_000)]
    [InlineData(96_000)]
    [InlineData(192_000)]
    public void The_filter_of_BS_468_stays_within_the_tolerances_at_every_rate(int rateHz)
    {
        var taps = Bs468Weighting.ImpulseResponse(rateHz, out var latency);
        foreach (var (hz, db, tolerance) in Table468.Where(r => r.Hz < 0.46 * rateHz))
        {
            Complex sum = 0;
            for (var n = 0; n < taps.Length; n++)
                sum += taps[n] * Complex.FromPolarCoordinates(1, -2 * Math.PI * hz / rateHz * (n - latency));
            Measured.Within(db, Conversions.AmplitudeToDb(sum.Magnitude), tolerance, $"468 filter at {hz} Hz, {rateHz}");
        }
    }

    /// <summary>IEC 61260-1:2014, clause 5.4 and Annex E: printed mid-band frequencies and their names; bands leave no gap.</summary>
    [Theory]
    [InlineData(-15, 31.5, 31.623)]
    [InlineData(-10, 100, 100)]
    [InlineData(0, 1000, 1000)]
    [InlineData(1, 1250, 1258.9)]
    [InlineData(12, 16_000, 15_849)]
    public void Third_octave_bands_are_those_of_base_ten(int band, double nominalHz, double exactHz)
    {
        Measured.Within(exactHz, ThirdOctaves.MidHz(band), exactHz * 5e-5);
        Measured.Within(nominalHz, ThirdOctaves.NominalHz(band), 1e-9 * nominalHz);
        Measured.Within(ThirdOctaves.LowerHz(band + 1), ThirdOctaves.UpperHz(band), 1e-9 * exactHz);
        Assert.Equal(band, ThirdOctaves.BandOf(ThirdOctaves.LowerHz(band) * 1.0001));
        Assert.Equal(band, ThirdOctaves.BandOf(ThirdOctaves.UpperHz(band) * 0.9999));
    }
}
