using Offtape.Testing;

namespace Offtape.Tape.Tests;

public sealed class StripeNoiseTests
{
    /// <summary>The published check values of the SplitMix64 reference code for seed 1 234 567.</summary>
    [Fact]
    public void The_sequence_is_the_published_one()
    {
        ulong[] published = [6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821];
        Assert.Equal(published, Enumerable.Range(0, 5).Select(n => StripeNoise.At(1234567, n)));
    }

    /// <summary>Uniform over 2^16 values: variance (2^32 − 1)/12. Four standard errors of the variance of 10^6 draws: 4·√(0.8/10^6) = 0.36 %.</summary>
    [Fact]
    public void Samples_are_uniform_with_no_offset()
    {
        const int count = 1_000_000;
        double sum = 0;
        double squares = 0;
        for (var n = 0; n < count; n++)
        {
            double value = StripeNoise.SampleAt(42, n);
            sum += value;
            squares += value * value;
        }
        var sigma = Math.Sqrt((Math.Pow(2, 32) - 1) / 12);
        Measured.Within(-0.5, sum / count, 4 * sigma / Math.Sqrt(count), "mean");
        Measured.Within(1, squares / count / (sigma * sigma), 0.0036, "variance ÷ uniform variance");
    }

    [Fact]
    public void Frames_before_zero_exist_and_differ()
    {
        Assert.NotEqual(StripeNoise.At(1, -1), StripeNoise.At(1, 0));
        Assert.NotEqual(StripeNoise.At(1, -1), StripeNoise.At(1, 1));
    }
}
