using Offtape.Testing;

namespace Offtape.Signal.Tests.Loudness;

/// <summary>What every kernel owes: blocks, reset, allocation, odd input; and that memory does not grow.</summary>
public sealed class LoudnessMeterTests
{
    [Theory]
    [InlineData(1, 11_025)]
    [InlineData(2, 48_000)]
    [InlineData(3, 44_100)]
    [InlineData(6, 96_000)]
    public void Block_boundaries_do_not_matter(int channelCount, int sampleRateHz)
    {
        var signal = Noise(channelCount * sampleRateHz * 5, 11);
        var whole = new LoudnessMeter(channelCount, sampleRateHz);
        whole.Add(signal);
        var cut = new LoudnessMeter(channelCount, sampleRateHz);
        var random = new Random(12);
        for (var at = 0; at < signal.Length; )
        {
            var count = Math.Min(signal.Length - at, random.Next(0, 3000) * channelCount);
            cut.Add(signal.AsSpan(at, count));
            at += count;
        }
        Assert.Equal(Readings(whole), Readings(cut));
    }

    [Fact]
    public void Reset_is_as_new()
    {
        var signal = Noise(2 * 48_000 * 5, 3);
        var fresh = new LoudnessMeter(2, 48_000);
        fresh.Add(signal);
        var used = new LoudnessMeter(2, 48_000);
        used.Add(Noise(2 * 48_000 * 4 + 246, 4));
        var before = Readings(used);
        used.Reset();
        used.Add(signal);
        Assert.Equal(Readings(fresh), Readings(used));
        Assert.NotEqual(before, Readings(used));
    }

    [Fact]
    public void Adding_allocates_nothing()
    {
        var meter = new LoudnessMeter(2, 48_000);
        var block = Noise(2 * 4096, 5);
        meter.Add(block);
        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var i = 0; i < 200; i++)
            meter.Add(block);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    [Fact]
    public void Silence_reads_minus_infinity()
    {
        var meter = new LoudnessMeter(2, 48_000);
        meter.Add(new float[2 * 48_000 * 4]);
        Assert.All(
            new[] { meter.IntegratedLufs, meter.MomentaryMaxLufs, meter.ShortTermMaxLufs, meter.TruePeakDbtp, meter.SamplePeakDbfs },
            value => Assert.Equal(double.NegativeInfinity, value)
        );
        Assert.Equal(0, meter.LoudnessRangeLu);
    }

    [Theory]
    [InlineData(1f)]
    [InlineData(1e-42f)]
    [InlineData(float.Epsilon)]
    public void Full_scale_and_denormals_read_finite_or_nothing(float amplitude)
    {
        var signal = new float[48_000 * 4];
        for (var i = 0; i < signal.Length; i++)
            signal[i] = i / 24 % 2 == 0 ? amplitude : -amplitude;
        var meter = new LoudnessMeter(1, 48_000);
        meter.Add(signal);
        Assert.All(Readings(meter), value => Assert.False(double.IsNaN(value) || double.IsPositiveInfinity(value)));
        Measured.Within(20 * Math.Log10(amplitude), meter.SamplePeakDbfs, 1e-6, "dBFS");
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(7)]
    [InlineData(64)]
    public void The_peak_is_that_of_the_channel_it_is_in(int channelCount)
    {
        for (var channel = 0; channel < channelCount; channel += Math.Max(1, channelCount / 5))
        {
            var signal = new float[channelCount * 5000];
            signal[channelCount * 4999 + channel] = -0.25f;
            var meter = new LoudnessMeter(channelCount, 48_000);
            meter.Add(signal);
            Measured.Within(20 * Math.Log10(0.25), meter.SamplePeakDbfs, 1e-9, "dBFS");
            Measured.AtLeast(20 * Math.Log10(0.25), meter.ChannelTruePeakDbtp(channel), "dBTP");
            if (channelCount > 1)
                Assert.Equal(double.NegativeInfinity, meter.ChannelTruePeakDbtp((channel + 1) % channelCount));
        }
    }

    /// <summary>
    /// A step that ends the signal overshoots in any band-limited reading; the peak counts it although no sample follows. The Gibbs
    /// overshoot of an ideal band limit is 9 % of the step.
    /// </summary>
    [Fact]
    public void A_peak_after_the_last_sample_is_counted()
    {
        var signal = new float[4800];
        signal.AsSpan(2400).Fill(0.5f);
        var meter = new LoudnessMeter(1, 48_000);
        meter.Add(signal.AsSpan(0, 2410));
        var cutShort = meter.TruePeakDbtp;
        Measured.AtLeast(20 * Math.Log10(0.5 * 1.05), cutShort, "dBTP");
        Assert.Equal(cutShort, meter.TruePeakDbtp);
    }

    [Theory]
    [InlineData(0, 48_000)]
    [InlineData(65, 48_000)]
    [InlineData(2, 4_000)]
    [InlineData(2, 400_000)]
    public void What_cannot_be_measured_is_refused(int channelCount, int sampleRateHz) =>
        Assert.ThrowsAny<ArgumentException>(() => new LoudnessMeter(channelCount, sampleRateHz));

    [Fact]
    public void Half_a_frame_is_refused() => Assert.Throws<ArgumentException>(() => new LoudnessMeter(2, 48_000).Add(new float[3]));

    private static double[] Readings(LoudnessMeter meter) =>
        [
            meter.IntegratedLufs,
            meter.LoudnessRangeLu,
            meter.MomentaryLufs,
            meter.MomentaryMaxLufs,
            meter.ShortTermLufs,
            meter.ShortTermMaxLufs,
            meter.SamplePeakDbfs,
            meter.TruePeakDbtp,
        ];

    private static float[] Noise(int count, int seed)
    {
        var random = new Random(seed);
        var signal = new float[count];
        for (var i = 0; i < count; i++)
            signal[i] = (float)((random.NextDouble() - 0.5) * (0.2 + 0.8 * Math.Abs(Math.Sin(i * 3e-5))));
        return signal;
    }
}
