using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Bench.Tests.Speed;

/// <summary>What the speed tone of a check signal gives, by how it was taken: tones written from their formula, with the truth beside them.</summary>
public sealed class SpeedReaderTests
{
    private static readonly MachineFacts Facts = new() { SpeedCmPerSecond = 9.525, HeadDistanceMm = 4 };

    /// <summary>The goal: within 0.0005 % at 50 dB, and inside what is stated beside the interface's clock.</summary>
    [Fact]
    public void A_foreign_tape_gives_the_speed_error_with_the_clock_as_its_bound()
    {
        var tone = new ModulatedTone
        {
            FrequencyHz = 3150 * 1.0123,
            Seconds = 36,
            SignalToNoiseDb = 50,
            Wobbles = [(0.7, 0.1, 1)],
        };
        var found = Read(tone, HowTaken.ForeignTape);
        // Whole turns: 0.7 Hz over 30 s.
        Measured.Within(1.23, Value(found, "speedError"), 0.0005, "speed error in per cent");
        Measured.Within(3150 * 1.0123, Value(found, "meanFrequency"), 0.02, "mean in hertz");
        var uncertainty = Find(found, "speedError").Uncertainty!.Value;
        Measured.Within(0.005, uncertainty, 0.0005, "uncertainty in per cent: 50 ppm");
    }

    [Fact]
    public void A_tape_of_its_own_gives_no_absolute_speed_and_says_what_would()
    {
        var found = Read(
            new ModulatedTone
            {
                FrequencyHz = 3160,
                Seconds = 36,
                SignalToNoiseDb = 50,
            },
            HowTaken.Rewound
        );
        foreach (var quantity in new[] { "speedError", "meanFrequency" })
        {
            Assert.Null(Find(found, quantity).Value);
            Assert.Contains("another machine", Find(found, quantity).Reason, StringComparison.Ordinal);
        }
        Measured.Within((3160.0 / 3150 - 1) * 100, Value(found, "speedDifference"), 0.0001, "difference of two runs in per cent");
        Assert.Contains(found.Notices, n => n.Code == "two-runs");
        Assert.Contains("together", Find(found, "weightedTwoSigma").Method, StringComparison.Ordinal);
    }

    /// <summary>
    /// Heads 4 mm apart at 9.525 cm/s: 42 ms. Lines of ±0.1 % on the transport, times 2·|sin(πf·42 ms)|, come back within 5 % where that is
    /// above 0.3; 0.6 Hz (0.158) and 23.7 Hz (0.025) are null.
    /// </summary>
    [Fact]
    public void Off_tape_lines_above_the_limit_of_the_comb_are_undone_and_the_others_null()
    {
        double[] rates = [0.6, 1.3, 2.1, 3.7, 6.3, 11.9, 19, 23.7, 31];
        static double Comb(double hz) => 2 * Math.Abs(Math.Sin(Math.PI * hz * 4.0 / 95.25));
        var tone = new ModulatedTone
        {
            Seconds = 36,
            SignalToNoiseDb = 55,
            Wobbles = [.. rates.Select((hz, i) => (hz, 0.1 * Comb(hz), 1.0 * i))],
        };
        var found = Read(tone, HowTaken.OffTape);
        var seen = 0;
        foreach (var line in found.Readings.Where(r => r.Quantity == "speedLine"))
        {
            var hz = rates.MinBy(r =>
                Math.Abs(r - double.Parse(line.Condition.Split(' ')[0], System.Globalization.CultureInfo.InvariantCulture))
            );
            if (Comb(hz) > 0.3)
            {
                Measured.Within(0.1, line.Value!.Value, 0.005, $"line at {hz} Hz in per cent");
                seen++;
            }
            else
                Assert.Null(line.Value);
        }
        Assert.Equal(rates.Count(r => Comb(r) > 0.3), seen);
        foreach (
            var quantity in new[]
            {
                "weightedTwoSigma",
                "weightedPeak",
                "unweightedRms",
                "drift",
                "speedError",
                "speedDifference",
                "meanFrequency",
            }
        )
        {
            Assert.Null(Find(found, quantity).Value);
            Assert.NotNull(Find(found, quantity).Reason);
        }
        Assert.NotNull(found.Readings.Single(r => r is { Quantity: "weightedTwoSigma", Condition: "as heard off tape" }).Value);
        // √½ · 0.1 % · √(Σ of the weights' squares) over the lines that can be undone.
        var wanted = Math.Sqrt(rates.Where(r => Comb(r) > 0.3).Sum(r => 0.005 * Math.Pow(10, WowFlutterWeighting.GainDbAt(r) / 10)));
        var undone = found.Readings.Single(r => r is { Quantity: "weightedRms", Condition: "comb undone" });
        Measured.Within(wanted, undone.Value!.Value, 0.05 * wanted, "weighted RMS undone in per cent");
    }

    /// <summary>What noise adds is taken off: at 35 dB the noise alone is 0.002 % RMS, and a wobble as small as that is read within what is stated.</summary>
    [Fact]
    public void What_noise_adds_is_taken_off_or_stated()
    {
        var (inside, count) = (0, 0);
        for (var seed = 1; seed <= 6; seed++)
        {
            var tone = new ModulatedTone
            {
                Seconds = 20,
                SignalToNoiseDb = 35,
                Wobbles = [(8, 0.005, seed)],
                Seed = seed,
            };
            var truth = WobbleReadout.Read(Deviations(tone), 2400).ToArray();
            var found = Read(tone, HowTaken.ForeignTape);
            string[] names = ["weightedTwoSigma", "weightedPeak", "weightedRms", "unweightedPeak", "unweightedRms"];
            for (var k = 0; k < names.Length; k++)
            {
                var reading = Find(found, names[k]);
                inside += Math.Abs(reading.Value!.Value - truth[k]) <= reading.Uncertainty ? 1 : 0;
                count++;
            }
        }
        // 95 of 100 are meant; of 30 the binomial leaves 25 once in a hundred times.
        Assert.True(inside >= 25, $"{inside} of {count} truths lie inside what is stated");
    }

    [Fact]
    public void A_tone_that_is_not_there_gives_reasons_and_no_number()
    {
        var noise = new float[40 * 48_000];
        var random = new Random(1);
        for (var i = 0; i < noise.Length; i++)
            noise[i] = 0.1f * (random.NextSingle() - 0.5f);
        foreach (var samples in new[] { noise, new float[40 * 48_000] })
        {
            var found = SpeedReader.Read(Capture(samples, HowTaken.Rewound), Facts, TestContext.Current.CancellationToken);
            Assert.NotEmpty(found.Readings);
            Assert.All(found.Readings, r => Assert.True(r.Value is null && r.Reason is not null));
            Assert.Empty(found.Curves);
        }
    }

    /// <summary>Hum beside the tone moves phase and level alike: it is told from speed, and no part is accused of it.</summary>
    [Fact]
    public void A_second_tone_is_told_from_wobble()
    {
        var tone = new ModulatedTone
        {
            Seconds = 36,
            SignalToNoiseDb = 60,
            Wobbles = [(6.3, 0.1, 0)],
        };
        var samples = tone.Make();
        for (var i = 0; i < samples.Length; i++)
            samples[i] += (float)(0.0005 * Math.Sin(2 * Math.PI * (3150 - 77) * i / 48_000.0));
        var found = SpeedReader.Read(Capture(samples, HowTaken.ForeignTape), Facts, TestContext.Current.CancellationToken);
        Assert.Contains(found.Notices, n => n.Code == "sound-beside-tone");
        Assert.DoesNotContain(found.Readings, r => r.Quantity == "speedLine" && r.Condition == "77 Hz");
        Assert.Contains(found.Readings, r => r.Quantity == "speedLine" && r.Condition == "6.3 Hz");
    }

    /// <summary>2.5 Hz, ±0.2 %: the curve's highest value, and the place and height of the highest of both spectra.</summary>
    [Fact]
    public void Curves_for_the_pictures_hold_the_speed_and_both_spectra()
    {
        var found = Read(
            new ModulatedTone
            {
                Seconds = 36,
                SignalToNoiseDb = 55,
                Wobbles = [(2.5, 0.2, 0)],
            },
            HowTaken.ForeignTape
        );
        Measured.Within(0.2, found.Curves.Single(c => c.Quantity == "speed").Y.Max(), 0.01, "highest of the curve in per cent");
        foreach (var quantity in new[] { "speedSpectrum", "speedSpectrumWeighted" })
        {
            var curve = found.Curves.Single(c => c.Quantity == quantity);
            var top = Enumerable.Range(0, curve.X.Length).MaxBy(i => curve.Y[i]);
            Measured.Within(2.5, curve.X[top], 0.1, "where it is highest in hertz");
            Measured.Within(0.2, curve.Y[top], 0.02, "peak of the line in per cent");
        }
        var mark = Assert.IsType<Report.UprightMark>(SpeedMarks.Of(found.Readings).First());
        Assert.Equal((2.5, "2.5 Hz"), (mark.X, mark.Words));
    }

    /// <summary>Near a null of the comb the heads' distance would have to be known better than it is: no figure.</summary>
    [Fact]
    public void A_line_that_a_ruler_could_move_into_a_null_is_not_stated()
    {
        // 6.9 turns in 42 ms: the comb is 0.62 there, and nothing with a distance 1.5 % longer.
        var found = Read(
            new ModulatedTone
            {
                Seconds = 36,
                SignalToNoiseDb = 60,
                Wobbles = [(164.3, 0.05, 0), (5, 0.05, 0)],
            },
            HowTaken.OffTape
        );
        Assert.Null(found.Readings.Single(r => r is { Quantity: "speedLine", Condition: "164 Hz" }).Value);
        Assert.NotNull(found.Readings.Single(r => r is { Quantity: "speedLine", Condition: "5.0 Hz" }).Value);
    }

    /// <summary>Two lines 0.6 % apart, as of one part in two runs: one reading, of the stronger, so that no two readings are told apart by nothing.</summary>
    [Fact]
    public void Two_lines_of_one_name_are_one_reading()
    {
        var found = Read(
            new ModulatedTone
            {
                Seconds = 36,
                SignalToNoiseDb = 60,
                Wobbles = [(64.8, 0.1, 0), (65.2, 0.06, 1)],
            },
            HowTaken.Rewound
        );
        Measured.Within(
            0.1,
            found.Readings.Single(r => r is { Quantity: "speedLine", Condition: "65 Hz" }).Value!.Value,
            0.002,
            "in per cent"
        );
        Assert.Equal(found.Readings.Count, found.Readings.DistinctBy(r => r.Key).Count());
    }

    private static double[] Deviations(ModulatedTone tone) =>
        [.. Enumerable.Range(0, (int)((tone.Seconds - 0.3) * 2400)).Select(i => tone.DeviationPercentAt(0.15 + i / 2400.0))];

    private static Findings Read(ModulatedTone tone, HowTaken how) =>
        SpeedReader.Read(Capture(tone.Make(), how), Facts, TestContext.Current.CancellationToken);

    private static Reading Find(Findings found, string quantity) =>
        found.Readings.Single(r => r.Quantity == quantity && r.Condition.Length == 0);

    private static double Value(Findings found, string quantity) => Find(found, quantity).Value!.Value;

    internal static BenchCapture Capture(float[] samples, HowTaken how)
    {
        var seconds = samples.Length / 48_000.0;
        var part = new BenchPart
        {
            Kind = BenchPartKind.SpeedTone,
            Name = "speed-3150",
            StartSeconds = 0,
            LengthSeconds = seconds,
            Channels = [1],
            FrequencyHz = 3150,
        };
        var sheet = new BenchSheet
        {
            FormatVersion = BenchSheet.CurrentFormatVersion,
            SheetId = "speed",
            SampleRateHz = 48_000,
            ChannelCount = 1,
            OperatingLevelDbfs = -12,
            LengthSeconds = seconds,
            Parts = [part],
            Slates = [],
        };
        return new BenchCapture([samples], 48_000, how, sheet, TimeMap.Constant(0, 1, seconds), [part]);
    }
}
