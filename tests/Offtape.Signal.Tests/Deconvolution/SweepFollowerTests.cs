using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>
/// Checks the following of a sweep against wobble by formula: the sweep is written out at the moments it is heard, so no resampling has a part
/// in it.
/// </summary>
public sealed class SweepFollowerTests
{
    private const int Rate = 48_000;
    private const int Start = 4800;
    private static readonly SynchronisedSweep Sweep = new(20, 20_000, 6);

    /// <summary>
    /// Wow of 0.3 % at 1.3 Hz, flutter of 0.3 % at 40 Hz, 0.2 % off speed. Followed within 3 µs: what the window of 16 ms takes off
    /// flutter of 40 Hz (12 µs) the second pass puts back, and the noise at 40 dB under the sweep is 1 µs at 1 kHz in its band.
    /// </summary>
    [Fact]
    public void Wobble_by_formula_is_followed_within_microseconds()
    {
        var (received, lateness) = Received(noise: 0.01f);
        var follower = new SweepFollower(Sweep, Rate);
        var (found, isHeard) = follower.Follow(received, Start);
        var sum = 0.0;
        var count = 0;
        for (var b = 0; b < found.Length; b++)
        {
            var time = (b + 0.5) * follower.StepSeconds;
            if (Sweep.FrequencyHz(time) is < 1000 or > 19_000)
                continue;
            sum += Math.Pow(found[b] - lateness(time), 2);
            count++;
        }
        Assert.All(isHeard[(int)(Sweep.TimeSeconds(150) / follower.StepSeconds)..], Assert.True);
        Measured.AtMost(3e-6, Math.Sqrt(sum / count), "root mean square error in seconds");
    }

    /// <summary>From 5 kHz on nothing but noise: what was found before is kept, and nothing runs away.</summary>
    [Fact]
    public void Where_the_sweep_is_lost_in_noise_the_last_lateness_is_kept()
    {
        var (received, lateness) = Received(noise: 0);
        var lost = Start + (int)(Sweep.TimeSeconds(5000) * Rate);
        var random = new Random(5);
        for (var i = lost; i < received.Length; i++)
            received[i] = (float)(0.02 * (random.NextDouble() - 0.5));
        var follower = new SweepFollower(Sweep, Rate);
        var (found, isHeard) = follower.Follow(received, Start);
        var at = (int)(Sweep.TimeSeconds(4000) / follower.StepSeconds);
        Measured.Within(lateness(Sweep.TimeSeconds(4000)), found[at], 1e-5);
        Measured.Within(found[at], found[^1], 2e-3);
        Assert.True(isHeard[at]);
        Assert.True(isHeard.AsSpan((int)(Sweep.TimeSeconds(5500) / follower.StepSeconds)).Count(true) < 100);
    }

    [Fact]
    public void Silence_is_on_time()
    {
        var (found, isHeard) = new SweepFollower(Sweep, Rate).Follow(new float[Rate], 0);
        Assert.All(found, value => Assert.Equal(0, value));
        Assert.DoesNotContain(true, isHeard);
    }

    private static (float[] Received, Func<double, double> Lateness) Received(float noise)
    {
        static double Lateness(double t) =>
            0.0005
            + 0.002 * (t - 2.5)
            + 0.003 / (2 * Math.PI * 1.3) * Math.Sin(2 * Math.PI * 1.3 * t)
            + 0.003 / (2 * Math.PI * 40) * Math.Sin(2 * Math.PI * 40 * t);
        var random = new Random(3);
        var received = new float[(int)(Sweep.DurationSeconds * Rate) + 2 * Start];
        for (var i = 0; i < received.Length; i++)
        {
            var time = (double)(i - Start) / Rate;
            // A sum of twelve even draws is normal enough.
            var chance = -6.0;
            for (var k = 0; k < 12; k++)
                chance += random.NextDouble();
            received[i] = (float)(0.5 * Sweep.At(time - Lateness(time)) + noise * 0.35 * chance);
        }
        return (received, Lateness);
    }
}
