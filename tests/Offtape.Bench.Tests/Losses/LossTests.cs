using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>
/// Checks the ranking of treble losses against responses that follow one law exactly, with noise: Wallace 1951 (spacing, thickness) and the
/// aperture formula (gap, azimuth), whose own figures are checked where they are defined.
/// </summary>
public sealed class LossTests
{
    private const double SpeedMicrometres = 47_625;
    private const double TopHz = 14_000;

    private static readonly MachineFacts Cassette = new() { SpeedCmPerSecond = 4.7625, Format = TrackFormats.CassetteStereo };

    // On a cassette: 0.9 mm between tracks of 0.6 mm make an aperture of 1 µm 31.5 µs.
    public static TheoryData<string, double, double, string, double> Laws =>
        new()
        {
            { "gap", 2, 0, "gap", 2 },
            { "spacing", 0.5, 0, "spacing", 0.5 },
            { "thickness", 1.5, 0, "thickness", 1.5 },
            { "azimuth", 2.2, 2.2 * 31.5e-6, "azimuth", 2.2 / 600 * 180 * 60 / Math.PI },
        };

    /// <summary>The law stands first with its size within 15 %, for losses of 7 to 10 dB at the top of the band and 0.1 dB of noise.</summary>
    [Theory, MemberData(nameof(Laws))]
    public void The_law_of_a_known_loss_is_named_with_its_size(string word, double size, double late, string condition, double wanted)
    {
        var findings = LossReader.Of(Fallen(word, size), HowTaken.ForeignTape, WithFlatBaseline(Cassette), (late, 1e-6));
        var ranked = findings.Readings.Where(r => r.Quantity == "lossLikelihood").ToArray();
        Assert.Equal(4, ranked.Length);
        Assert.Equal(word, ranked[0].Condition);
        Measured.AtLeast(50, ranked[0].Value!.Value, "likelihood in per cent");
        Measured.AtMost(100.0001, ranked.Sum(r => r.Value!.Value), "all likelihoods together");
        var found = findings.Readings.Single(r => r.Quantity == "lossSize" && r.Condition == condition);
        Measured.Within(wanted, found.Value!.Value, 0.15 * wanted, "size");
        Assert.Contains(findings.Notices, n => n.Code == "treble-rivals" && n.Text.Contains("bias", StringComparison.Ordinal));
    }

    [Fact]
    public void One_channel_says_gap_or_azimuth()
    {
        var findings = LossReader.Of(Fallen("gap", 2), HowTaken.Rewound, WithFlatBaseline(Cassette), null);
        var first = findings.Readings.First(r => r.Quantity == "lossLikelihood");
        Assert.Equal("gap or azimuth", first.Condition);
        Assert.DoesNotContain(findings.Readings, r => r.Quantity == "lossLikelihood" && r.Condition is "gap" or "azimuth" && r.Unit == "%");
    }

    [Fact]
    public void Without_the_speed_the_law_is_named_and_no_size()
    {
        var facts = WithFlatBaseline(new MachineFacts());
        var findings = LossReader.Of(Fallen("spacing", 0.5), HowTaken.Rewound, facts, (0, 1e-6));
        Assert.Equal("spacing", findings.Readings.First(r => r.Quantity == "lossLikelihood").Condition);
        Assert.All(
            findings.Readings.Where(r => r.Quantity == "lossSize"),
            r => Assert.True(r.Value is null && r.Reason is { Length: > 0 })
        );
    }

    /// <summary>A tape recorded with 120 µs on a machine set to 70 µs falls by 4.6 dB as IEC 60094-1 says, and by no law of a head.</summary>
    [Fact]
    public void A_foreign_tape_tells_a_wrong_switch_and_the_machines_own_does_not()
    {
        var recorded = Equalisations.CassetteTypeOne;
        var response = Response(hz => recorded.HeardOn(Equalisations.CassetteTypeTwo, hz));
        var foreign = LossReader.Of(response, HowTaken.ForeignTape, WithFlatBaseline(Cassette), (0, 1e-6));
        var mixUp = foreign.Readings.Single(r => r.Quantity == "equalisationMixUp");
        Assert.Equal("recorded 120 µs, replayed 70 µs", mixUp.Condition);
        Measured.AtLeast(90, mixUp.Value!.Value, "likelihood in per cent");
        foreach (var how in new[] { HowTaken.OffTape, HowTaken.Rewound })
        {
            var own = LossReader.Of(response, how, WithFlatBaseline(Cassette), (0, 1e-6));
            var none = own.Readings.Single(r => r.Quantity == "equalisationMixUp");
            Assert.True(none.Value is null && none.Reason!.Contains("cancels", StringComparison.Ordinal));
        }
    }

    [Fact]
    public void A_machine_that_has_lost_nothing_is_told_no_law()
    {
        var findings = LossReader.Of(Response(hz => -0.3 * hz / TopHz), HowTaken.Rewound, WithFlatBaseline(Cassette), (0, 1e-6));
        Assert.DoesNotContain(findings.Readings, r => r.Quantity == "lossLikelihood");
        Assert.Empty(findings.Notices);
    }

    /// <summary>−½·rᵀ·C⁻¹·r of three points, with the inverse of C by Cramer's rule. Tolerance: double rounding.</summary>
    [Fact]
    public void Likelihood_is_the_Gaussian_written_out()
    {
        double[] hz = [1000, 1300, 4000];
        double[] db = [0.4, -0.3, 1.1];
        double[] sigma = [0.1, 0.2, 0.3];
        var c = new double[3, 3];
        for (var i = 0; i < 3; i++)
        {
            for (var j = 0; j < 3; j++)
                c[i, j] = 0.49 * Math.Exp(-3 * Math.Abs(Math.Log2(hz[i] / hz[j]))) + 0.25 + (i == j ? sigma[i] * sigma[i] : 0);
        }
        double Minor(int i, int j)
        {
            int[] r = [.. Enumerable.Range(0, 3).Where(k => k != i)];
            int[] s = [.. Enumerable.Range(0, 3).Where(k => k != j)];
            return (c[r[0], s[0]] * c[r[1], s[1]] - c[r[0], s[1]] * c[r[1], s[0]]) * ((i + j) % 2 == 0 ? 1 : -1);
        }
        var determinant = c[0, 0] * Minor(0, 0) + c[0, 1] * Minor(0, 1) + c[0, 2] * Minor(0, 2);
        var sum = 0.0;
        for (var i = 0; i < 3; i++)
        {
            for (var j = 0; j < 3; j++)
                sum += (db[i] - 0.1) * (db[j] - 0.1) * Minor(j, i) / determinant;
        }
        Measured.Within(-sum / 2, new ResponseLikelihood(hz, db, sigma, _ => 0.7).Of(_ => 0.1), 1e-10);
    }

    private static ChannelResponse Fallen(string word, double size) => Response(hz => LossDb(word, size * hz / SpeedMicrometres));

    // The laws written out once more, by size over wavelength.
    private static double LossDb(string word, double x)
    {
        static double Aperture(double x) => 20 * Math.Log10(Math.Abs(Math.Sin(Math.PI * x) / (Math.PI * x)));
        return word switch
        {
            "gap" => Aperture(1.11 * x),
            "spacing" => -54.575 * x,
            "thickness" => 20 * Math.Log10((1 - Math.Exp(-2 * Math.PI * x)) / (2 * Math.PI * x)),
            _ => Aperture(x),
        };
    }

    private static ChannelResponse Response(Func<double, double> db)
    {
        var hz = BandGrid.Between(25, TopHz);
        var random = new Random(2);
        var level = Array.ConvertAll(hz, f => db(f) - db(1000) + 0.1 * MachineByHand.Normal(random));
        return new ChannelResponse
        {
            Channel = 0,
            LevelDb = -20,
            Hz = hz,
            ThirdsDb = Array.ConvertAll(hz, f => db(f) - db(1000)),
            ThirdsSigmaDb = Array.ConvertAll(hz, _ => 0.05),
            FineDb = level,
            FineSigmaDb = Array.ConvertAll(hz, _ => 0.1),
            ReferenceGain = 1,
        };
    }

    private static MachineFacts WithFlatBaseline(MachineFacts facts)
    {
        var hz = BandGrid.Between(25, TopHz);
        return facts with
        {
            Baseline =
            [
                new ReadingCurve
                {
                    Quantity = "responseFine",
                    Channel = 1,
                    Condition = "−20 dB",
                    XUnit = "Hz",
                    YUnit = "dB",
                    X = hz,
                    Y = new double[hz.Length],
                    Method = "",
                },
            ],
        };
    }
}
