using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>
/// The quasi-peak meter against what ITU-R BS.468-4 says that bursts must read, in per cent of the same tone held (clauses 2.1 and 2.2). The
/// windows are the Recommendation's; the tone goes through the weighting network, as clause 2 asks.
/// </summary>
public sealed class QuasiPeakTests
{
    private const double BurstHz = 5000;

    public static TheoryData<double, double, double> Bursts =>
        new()
        {
            { 1, 13.5, 21.4 },
            { 2, 22.4, 31.6 },
            { 5, 34, 46 },
            { 10, 41, 55 },
            { 20, 44, 60 },
            { 50, 50, 68 },
            { 100, 58, 78 },
            { 200, 68, 92 },
        };

    [Theory, MemberData(nameof(Bursts))]
    public void A_single_burst_reads_within_its_window(double milliseconds, double low, double high)
    {
        foreach (var rateHz in (int[])[44_100, 48_000, 96_000])
            Assert.InRange(100 * Highest(rateHz, 0.8, t => t < milliseconds / 1000) / Steady(rateHz), low, high);
    }

    [Theory]
    [InlineData(2, 43, 53)]
    [InlineData(10, 72, 82)]
    [InlineData(100, 94, 100)]
    public void A_train_of_5_ms_bursts_reads_within_its_window(double perSecond, double low, double high)
    {
        foreach (var rateHz in (int[])[44_100, 48_000, 96_000])
        {
            var reading = Highest(rateHz, 4, t => t % (1 / perSecond) < 0.005, fromSeconds: 3);
            Assert.InRange(100 * reading / Steady(rateHz), low, high);
        }
    }

    /// <summary>Clause 2.6: a steady sine of 1 kHz reads its RMS. Clause 2.3: at 20 dB less it reads 20 dB less (allowed: 1 dB).</summary>
    [Theory]
    [InlineData(44_100, 0)]
    [InlineData(48_000, 0)]
    [InlineData(48_000, -20)]
    [InlineData(48_000, -80)]
    [InlineData(96_000, 0)]
    public void A_steady_tone_of_1_kHz_reads_its_root_mean_square(int rateHz, double levelDb)
    {
        var peak = Conversions.DbToAmplitude(levelDb);
        var reading = Read(rateHz, 3, t => peak * Math.Sin(2 * Math.PI * 1000 * t))[^1];
        // The reading trembles within a period; the meter is set to the mean of it.
        Measured.Within(levelDb - 10 * Math.Log10(2), Conversions.AmplitudeToDb(reading), 0.03);
    }

    /// <summary>Clause 2.5: turned over, an asymmetrical signal reads the same within 0.5 dB; a full-wave rectifier cannot tell.</summary>
    [Fact]
    public void Polarity_does_not_matter()
    {
        var up = Read(48_000, 1, t => t % 0.01 < 0.001 ? 1 : 0);
        var down = Read(48_000, 1, t => t % 0.01 < 0.001 ? -1 : 0);
        Measured.Within(Conversions.AmplitudeToDb(up[^1]), Conversions.AmplitudeToDb(down[^1]), 0.5);
    }

    /// <summary>Clause 2.4: a tone that begins all at once reads at most 0.3 dB more than it does in the end.</summary>
    [Fact]
    public void A_tone_that_begins_does_not_swing_over()
    {
        var reading = Read(48_000, 4, t => Math.Sin(2 * Math.PI * 1000 * t));
        Measured.AtMost(0.3, Conversions.AmplitudeToDb(reading.Max() / reading[^4800..].Average()));
    }

    [Fact]
    public void Cut_into_blocks_and_after_a_reset_it_reads_the_same_and_allocates_nothing()
    {
        var random = new Random(5);
        var signal = new float[30_000];
        foreach (ref var value in signal.AsSpan())
            value = (float)(random.NextDouble() - 0.5);
        var meter = new QuasiPeakMeter(48_000);
        var whole = new float[signal.Length];
        meter.Process(signal, whole);
        meter.Reset();
        var cut = new float[signal.Length];
        for (int from = 0, size = 0; from < signal.Length; from += size, size = random.Next(0, 3000))
        {
            var count = Math.Min(size, signal.Length - from);
            meter.Process(signal.AsSpan(from, count), cut.AsSpan(from, count));
            size = count;
        }
        Assert.Equal(whole, cut);
        var before = GC.GetAllocatedBytesForCurrentThread();
        meter.Process(signal.AsSpan(0, 3000), cut.AsSpan(0, 3000));
        Assert.Equal(before, GC.GetAllocatedBytesForCurrentThread());
    }

    [Theory]
    [InlineData(0f)]
    [InlineData(1f)]
    [InlineData(1e-42f)]
    public void Silence_full_scale_and_denormals_stay_finite(float level)
    {
        var meter = new QuasiPeakMeter(48_000);
        var reading = new float[10_000];
        meter.Process([.. Enumerable.Range(0, reading.Length).Select(i => i % 2 == 0 ? level : -level)], reading);
        Assert.All(reading, r => Assert.True(float.IsFinite(r) && r >= 0));
    }

    private static double Steady(int rateHz) => Highest(rateHz, 3, _ => true, fromSeconds: 2.5);

    private static double Highest(int rateHz, double seconds, Func<double, bool> isOn, double fromSeconds = 0) =>
        Read(rateHz, seconds, t => isOn(t) ? Math.Sin(2 * Math.PI * BurstHz * t) : 0)[(int)(fromSeconds * rateHz)..].Max();

    private static float[] Read(int rateHz, double seconds, Func<double, double> signal)
    {
        var frames = new float[(int)(seconds * rateHz)];
        for (var i = 0; i < frames.Length; i++)
            frames[i] = (float)signal((double)i / rateHz);
        var reading = new float[frames.Length];
        new QuasiPeakMeter(rateHz).Process(frames, reading);
        return reading;
    }
}
