using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>A loud tone whose second half is turned down by a known amount, as a recording over it leaves it.</summary>
public sealed class ErasureReaderTests
{
    [Theory]
    [InlineData(35, 5.0, 0.001)]
    [InlineData(60, 5.0, 0.001)]
    [InlineData(60, 3.2, 0.0003)]
    [InlineData(68, 6.1, 0.0003)]
    public void What_is_left_is_read_through_noise_that_is_louder(double erasedDb, double fromSeconds, double noiseRms)
    {
        for (var seed = 1; seed <= 3; seed++)
        {
            var reading = Read(erasedDb, fromSeconds, noiseRms, seed);
            // Twice what holds it 95 times in 100.
            Measured.Within(-erasedDb, reading.Value!.Value, Math.Max(0.02, 2 * reading.Uncertainty!.Value));
            Measured.AtMost(1, reading.Uncertainty.Value);
        }
    }

    [Fact]
    public void What_noise_hides_is_a_limit_that_the_truth_does_not_exceed()
    {
        for (var seed = 1; seed <= 3; seed++)
        {
            var reading = Read(100, 5, 0.003, seed);
            Assert.Null(reading.Value);
            Assert.InRange(reading.AtMost!.Value, -100, -50);
        }
    }

    [Fact]
    public void Where_nothing_was_recorded_over_nothing_is_stated()
    {
        Assert.Null(Read(0, 5, 0.001, 1).Value);
        // A level that fell by 6 dB is no recording over.
        Assert.Null(Read(6, 5, 0.001, 1).Value);
        var offTape = Read(60, 5, 0.001, 1, HowTaken.OffTape);
        Assert.Null(offTape.Value);
        Assert.Contains("Off tape", offTape.Reason);
    }

    private static Reading Read(double erasedDb, double fromSeconds, double noiseRms, int seed, HowTaken how = HowTaken.Rewound)
    {
        var capture = BenchRun.Of(
            ["erasure"],
            channels =>
            {
                var part = BenchRun.Sheet("erasure").Parts.Single();
                var from = (int)((part.StartSeconds + fromSeconds) * BenchRun.RateHz);
                var to = (int)((part.StartSeconds + part.LengthSeconds) * BenchRun.RateHz);
                for (var i = from; i < to; i++)
                    channels[0][i] *= (float)Conversions.DbToAmplitude(-erasedDb);
                BenchRun.AddNoise(channels[0], noiseRms, seed);
            },
            how
        );
        return ErasureReader.Read(capture, new MachineFacts(), CancellationToken.None).Only("erasure", 1, "1 kHz");
    }
}
