using Offtape.Testing;

namespace Offtape.Signal.Tests;

public sealed class DelayEstimatorTests
{
    [Theory, InlineData(0.0), InlineData(3.25), InlineData(-17.4)]
    public void Delay_of_a_band_limited_noise_is_found(double lagFrames)
    {
        const int window = 1024;
        const int maxLag = 32;
        var (a, b) = Tones(window, maxLag, lagFrames, 7);
        var estimator = new DelayEstimator(
            new DelayEstimatorOptions
            {
                SampleRateHz = 48_000,
                WindowFrames = window,
                MaxLagFrames = maxLag,
            }
        );
        var peaks = new DelayPeak[3];
        var count = estimator.Estimate(a, b, peaks);
        Assert.True(count > 0);
        Measured.Within(lagFrames, peaks[0].LagFrames, 0.002);
        Assert.Equal(1, peaks[0].Polarity);
        Measured.AtLeast(0.9, peaks[0].Rho);
    }

    /// <summary>A sum of many tones at random frequencies and phases, whose delayed copy is exact by formula.</summary>
    private static (float[] Reference, float[] Other) Tones(int window, int maxLag, double lagFrames, int seed)
    {
        var random = new Random(seed);
        var reference = new float[window];
        var other = new float[window + 2 * maxLag];
        for (var tone = 0; tone < 400; tone++)
        {
            var omega = Math.PI * 0.95 * random.NextDouble();
            var phase = 2 * Math.PI * random.NextDouble();
            for (var n = 0; n < window; n++)
                reference[n] += (float)(0.05 * Math.Sin(omega * n + phase));
            for (var n = 0; n < other.Length; n++)
                other[n] += (float)(0.05 * Math.Sin(omega * (n - maxLag - lagFrames) + phase));
        }
        return (reference, other);
    }
}
