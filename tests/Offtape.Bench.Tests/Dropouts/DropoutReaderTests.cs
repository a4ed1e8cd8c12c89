using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>Dropouts that are cut into the tone by formula: loss in dB as a raised cosine, half of it at half of the length on either side.</summary>
public sealed class DropoutReaderTests
{
    private static readonly (double Seconds, double LengthMs, double DepthDb)[] Cut =
    [
        (1, 5, 4),
        (2.2, 20, 9),
        (4, 60, 20),
        (4.5, 8, 15),
        (6, 35, 3.6),
        (8, 5, 25),
        (10, 20, 2),
    ];

    // Without the ends that are kept off.
    private const double Heard = BenchRun.ShortToneSeconds - 0.22;

    [Fact]
    public void Each_dropout_is_found_once_with_its_depth_and_its_length_in_its_class()
    {
        var capture = Capture(noiseRms: 5e-4);

        var findings = DropoutReader.Read(capture, new MachineFacts(), CancellationToken.None);

        var list = findings.Curve("dropouts", 1);
        var deep = Cut.Where(d => d.DepthDb >= 3).ToArray();
        Assert.Equal(deep.Length, list.X.Length);
        var start = capture.Sheet.Parts.Single().StartSeconds;
        for (var i = 0; i < deep.Length; i++)
        {
            // The deepest place of a long one is flat: hiss chooses within a twentieth of it.
            Measured.Within(start + deep[i].Seconds, list.X[i], 0.001 + 5e-5 * deep[i].LengthMs);
            // Of 5 ms the band of ±250 Hz rounds the point: a raised cosine's deepest tenth of a millisecond.
            Measured.Within(deep[i].DepthDb, list.Y[i], 0.3 + (deep[i].LengthMs <= 8 ? 0.08 * deep[i].DepthDb : 0), $"dropout {i}");
        }
        var minutes = 60 / Heard;
        Count(6, "3 dB and deeper");
        Count(2, "3 to 6 dB");
        Count(1, "6 to 12 dB");
        Count(3, "12 dB and deeper");
        Count(3, "shorter than 10 ms");
        Count(1, "10 to 30 ms");
        Count(2, "30 ms and longer");
        Assert.Equal(0, findings.Only("dropoutsPerMinute", 2, "3 dB and deeper").Value);

        void Count(int wanted, string condition) =>
            Measured.Within(
                wanted * minutes,
                findings.Only("dropoutsPerMinute", 1, condition).Value!.Value,
                0.02 * wanted * minutes,
                condition
            );
    }

    /// <summary>
    /// F. Garwood, Biometrika 28, 1936: of a count of 0 the exact upper limit is 3.689, of 10 it is 18.39. The farther end is stated.
    /// </summary>
    [Fact]
    public void The_uncertainty_is_that_of_a_count()
    {
        var findings = DropoutReader.Read(Capture(0), new MachineFacts(), CancellationToken.None);
        var none = findings.Only("dropoutsPerMinute", 2, "3 dB and deeper");
        // The approximation of the chi-square distribution is within 3 % of it at the smallest count.
        Measured.Within(3.689 * 60 / Heard, none.Uncertainty!.Value, 0.03 * 3.689 * 60 / Heard);
    }

    /// <summary>Level that rises and falls slowly, hiss at 40 dB and a treble-poor tape are no dropouts.</summary>
    [Fact]
    public void Slow_changes_of_level_and_hiss_are_no_dropouts()
    {
        var capture = BenchRun.Of(
            ["speed"],
            channels =>
            {
                for (var i = 0; i < channels[0].Length; i++)
                    channels[0][i] *= (float)Conversions.DbToAmplitude(2.5 * Math.Sin(2 * Math.PI * 0.2 * i / BenchRun.RateHz));
                BenchRun.AddNoise(channels[0], 0.0028, 3);
            }
        );
        Assert.Equal(
            0,
            DropoutReader.Read(capture, new MachineFacts(), CancellationToken.None).Only("dropoutsPerMinute", 1, "3 dB and deeper").Value
        );
    }

    [Fact]
    public void Without_a_steady_tone_nothing_is_counted()
    {
        var findings = DropoutReader.Read(BenchRun.Of(["silence"], _ => { }), new MachineFacts(), CancellationToken.None);
        Assert.All(findings.Readings, r => Assert.True(r.Value is null && r.Reason!.Length > 0));
    }

    private static BenchCapture Capture(double noiseRms) =>
        BenchRun.Of(
            ["speed"],
            channels =>
            {
                var start = BenchRun.Sheet("speed").Parts.Single().StartSeconds;
                foreach (var (seconds, lengthMs, depthDb) in Cut)
                {
                    var middle = (start + seconds) * BenchRun.RateHz;
                    var half = lengthMs / 1000 * BenchRun.RateHz;
                    for (var i = (int)(middle - half) + 1; i < middle + half; i++)
                        channels[0][i] *= (float)
                            Conversions.DbToAmplitude(-depthDb * (0.5 + 0.5 * Math.Cos(Math.PI * (i - middle) / half)));
                }
                Array.ForEach(channels, c => BenchRun.AddNoise(c, noiseRms, 6));
            }
        );
}
