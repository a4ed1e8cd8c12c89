using Offtape.Testing;

namespace Offtape.Simulator.Tests;

/// <summary>
/// Checks the simulation's interpolator against formulas: a sum of sines is known at any place, so its reading between samples has an exact
/// answer. Limits are the class's own promise of −110 dB from 0 to 0.42 of the rate (20 kHz at 48 kHz).
/// </summary>
public sealed class DirectSincTests
{
    private const int Length = 20_000;

    [Theory]
    [InlineData(0.001)]
    [InlineData(0.1)]
    [InlineData(0.25)]
    [InlineData(1.0 / 3)]
    [InlineData(0.42)]
    public void A_wobbling_reading_of_a_sine_is_the_sine_of_the_place(double cyclesPerSample)
    {
        var signal = Sine(cyclesPerSample, 0.3);
        var places = Enumerable.Range(0, 15_000).Select(i => 900.37 + i * 1.0013 + 5 * Math.Sin(i * 0.0017)).ToArray();
        Measured.AtMost(-110, ErrorDb(signal, places, p => Math.Sin(2 * Math.PI * cyclesPerSample * p + 0.3)), "error in dB");
    }

    [Fact]
    public void Slower_and_backwards_is_as_exact()
    {
        var signal = Sine(0.31, 1);
        var slow = Enumerable.Range(0, 9000).Select(i => 300 + i * 0.4003).ToArray();
        var backwards = Enumerable.Range(0, 9000).Select(i => 19_000 - i * 0.99 - 3 * Math.Sin(i * 0.002)).ToArray();
        Measured.AtMost(-110, ErrorDb(signal, slow, p => Math.Sin(2 * Math.PI * 0.31 * p + 1)), "slow, error in dB");
        Measured.AtMost(-110, ErrorDb(signal, backwards, p => Math.Sin(2 * Math.PI * 0.31 * p + 1)), "backwards, error in dB");
    }

    /// <summary>At a step of s the band ends at 0.5/s: 0.42/s passes exactly, 0.6/s and above is taken off.</summary>
    [Theory, InlineData(1.5), InlineData(2.0), InlineData(2.5)]
    public void A_faster_reading_passes_its_band_and_stops_what_would_fold(double step)
    {
        var places = Enumerable.Range(0, 6000).Select(i => 400.1 + i * step).ToArray();
        var passed = 0.4 / step;
        Measured.AtMost(-105, ErrorDb(Sine(passed, 0), places, p => Math.Sin(2 * Math.PI * passed * p)), "passband error in dB");
        var stopped = Math.Min(0.49, 0.62 / step);
        if (stopped > 0.61 / step)
            Measured.AtMost(-100, ErrorDb(Sine(stopped, 0), places, _ => 0), "what is left of the stopband in dB");
    }

    [Fact]
    public void Whole_places_give_the_samples_themselves()
    {
        var random = new Random(4);
        var signal = Enumerable.Range(0, 500).Select(_ => (float)random.NextDouble()).ToArray();
        var output = new float[500];
        new DirectSinc().Read(signal, Enumerable.Range(0, 500).Select(i => (double)i).ToArray(), output);
        Assert.Equal(signal, output);
    }

    [Fact]
    public void Outside_the_signal_there_is_silence()
    {
        var output = new float[4];
        new DirectSinc().Read([1f, 1f, 1f], [-4000.5, 1e12, double.MaxValue, -1e300], output);
        Assert.All(output, s => Assert.Equal(0, s));
    }

    /// <summary>One cut-off is chosen for each 256 places, so cuts at multiples of 256 must not matter at any step, and any cut at steps up to one.</summary>
    [Fact]
    public void Block_boundaries_do_not_matter()
    {
        var random = new Random(9);
        var signal = Enumerable.Range(0, Length).Select(_ => (float)random.NextDouble() - 0.5f).ToArray();
        var places = Enumerable.Range(0, 8192).Select(i => 20 + i * 0.98 + 2 * Math.Sin(i * 0.003)).ToArray();
        var (whole, parts) = (new float[places.Length], new float[places.Length]);
        new DirectSinc().Read(signal, places, whole);
        var sinc = new DirectSinc();
        for (var from = 0; from < places.Length; )
        {
            var count = Math.Min(random.Next(0, 700), places.Length - from);
            sinc.Read(signal, places.AsSpan(from, count), parts.AsSpan(from, count));
            from += count;
        }
        Assert.Equal(whole, parts);
    }

    [Fact]
    public void Reading_allocates_nothing()
    {
        var (signal, output) = (Sine(0.1, 0), new float[1024]);
        var places = Enumerable.Range(0, 1024).Select(i => 50 + i * 1.7).ToArray();
        var sinc = new DirectSinc();
        sinc.Read(signal, places, output);
        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var i = 0; i < 20; i++)
            sinc.Read(signal, places, output);
        Assert.Equal(before, GC.GetAllocatedBytesForCurrentThread());
    }

    [Theory, InlineData(0f), InlineData(1f), InlineData(1e-42f)]
    public void Output_stays_finite(float value)
    {
        var signal = new float[2000];
        Array.Fill(signal, value);
        var output = new float[1800];
        new DirectSinc().Read(signal, Enumerable.Range(0, 1800).Select(i => i * 1.1).ToArray(), output);
        Assert.All(output, s => Assert.True(float.IsFinite(s)));
    }

    private static float[] Sine(double cyclesPerSample, double phase) =>
        [.. Enumerable.Range(0, Length).Select(i => (float)Math.Sin(2 * Math.PI * cyclesPerSample * i + phase))];

    private static double ErrorDb(float[] signal, double[] places, Func<double, double> truth)
    {
        var output = new float[places.Length];
        new DirectSinc().Read(signal, places, output);
        var sum = 0.0;
        for (var i = 0; i < places.Length; i++)
            sum += Math.Pow(output[i] - truth(places[i]), 2);
        // Against a full-scale sine's power of one half.
        return 10 * Math.Log10(sum / places.Length / 0.5 + 1e-30);
    }
}
