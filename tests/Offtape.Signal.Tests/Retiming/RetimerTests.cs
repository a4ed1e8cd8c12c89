using Offtape.Testing;

namespace Offtape.Signal.Tests.Retiming;

/// <summary>What every kernel owes: blocks, edges, allocation, odd input, refused arguments.</summary>
public sealed class RetimerTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(-1)]
    public void A_whole_step_copies_bit_for_bit(int step)
    {
        var input = Noise(3000, 1);
        var output = new float[3000];
        Retimer.RenderFixed(input, 500, step > 0 ? 500 : 3499, step, output);
        if (step < 0)
            Array.Reverse(output);
        Assert.Equal(input, output);
    }

    [Theory]
    [InlineData(0.91875)]
    [InlineData(1.0031)]
    [InlineData(-2.3)]
    [InlineData(2)]
    [InlineData(-0.99731)]
    [InlineData(1)]
    [InlineData(0.5)]
    [InlineData(-2)]
    [InlineData(1 / 3.0)]
    [InlineData(160 / 147.0)]
    [InlineData(-18 / 17.0)]
    [InlineData(2.0123)]
    [InlineData(0)]
    public void Fixed_rate_blocks_join_bit_for_bit(double step)
    {
        var input = Noise(60_000, 2);
        const int outputs = 20_000;
        var first = step < 0 ? 50_000.25 : 1000.25;
        var whole = new float[outputs];
        Retimer.RenderFixed(input, 0, first, step, whole);
        var cut = new float[outputs];
        foreach (var (at, count) in Cuts(outputs, 3))
            Retimer.RenderFixed(input, 0, first, step, cut.AsSpan(at, count), at);
        Assert.Equal(whole, cut);
    }

    /// <summary>Also shows that the promised half width is enough: each block is given only that much input.</summary>
    [Theory]
    [InlineData(0.4)]
    [InlineData(1)]
    [InlineData(1.0031)]
    [InlineData(2.5)]
    [InlineData(9.5)]
    public void Map_blocks_join_bit_for_bit_from_the_least_input(double largestStep)
    {
        const int outputs = 8000;
        var band = Retimer.BandwidthForStep(largestStep);
        var half = Retimer.HalfWidthFramesForBandwidth(band);
        Assert.Equal(half, Retimer.HalfWidthFrames(largestStep));
        Assert.Equal(half, Retimer.HalfWidthFrames(-largestStep));
        var positions = new double[outputs];
        for (var i = 0; i < outputs; i++)
            positions[i] = 0.7 * largestStep * i + 30 * largestStep * Math.Sin(i * 0.01);
        var input = Noise((int)(outputs * largestStep) + 4 * half + 200, 4);
        var inputStart = -2L * half - 100;
        var whole = new float[outputs];
        Retimer.Render(input, inputStart, positions, band, whole);
        var cut = new float[outputs];
        foreach (var (at, count) in Cuts(outputs, 5))
        {
            if (count == 0)
                continue;
            var block = positions.AsSpan(at, count);
            var (low, high) = ((long)Math.Floor(Min(block)) - half, (long)Math.Floor(Max(block)) + half);
            var window = input.AsSpan((int)(low - inputStart), (int)(high - low) + 1);
            Retimer.Render(window, low, block, band, cut.AsSpan(at, count));
        }
        Assert.Equal(whole, cut);
    }

    /// <summary>
    /// A step that is a ratio of small whole numbers takes a way of its own; a step beside it, a millionth away, takes the general one.
    /// Over 500 frames their positions part by 5e-4 frame at most, and full-scale noise by some −60 dB.
    /// </summary>
    [Theory]
    [InlineData(0.91875)]
    [InlineData(1.5)]
    [InlineData(-0.5)]
    [InlineData(-2)]
    [InlineData(2)]
    [InlineData(1 / 3.0)]
    [InlineData(-18 / 17.0)]
    public void Whole_ratios_and_their_neighbours_agree(double step)
    {
        var input = Noise(5000, 9);
        var (whole, beside) = (new float[500], new float[500]);
        Retimer.RenderFixed(input, 0, 2500.4, step, whole);
        Retimer.RenderFixed(input, 0, 2500.4, step * (1 + 1e-6), beside);
        for (var i = 0; i < whole.Length; i++)
            Measured.Within(beside[i], whole[i], 2e-3, $"frame {i}");
    }

    /// <summary>Half a step outside the input either way: the ends of a whole ratio are padded as those of any other.</summary>
    [Theory]
    [InlineData(1.5)]
    [InlineData(-0.75)]
    [InlineData(0.5)]
    [InlineData(2)]
    public void Whole_ratios_see_silence_beyond_the_input(double step)
    {
        var input = Noise(1000, 10);
        var padded = new float[3000];
        input.CopyTo(padded, 1000);
        var (bare, surrounded) = (new float[2000], new float[2000]);
        var first = step > 0 ? -700.3 : 1250.3;
        Retimer.RenderFixed(input, 0, first, step, bare);
        Retimer.RenderFixed(padded, -1000, first, step, surrounded);
        Assert.Equal(surrounded, bare);
        Assert.Contains(bare, y => Math.Abs(y) > 0.1f);
        Assert.Equal(0, bare[0]);
    }

    [Fact]
    public void Beyond_the_input_is_silence()
    {
        var input = Noise(1000, 6);
        var padded = new float[3000];
        input.CopyTo(padded, 1000);
        var positions = Enumerable.Range(0, 2700).Select(i => -850.3 + i * 0.99).ToArray();
        var bare = new float[positions.Length];
        Retimer.Render(input, 0, positions, 1, bare);
        var surrounded = new float[positions.Length];
        Retimer.Render(padded, -1000, positions, 1, surrounded);
        Assert.Equal(surrounded, bare);
        Assert.Equal(0, bare[0]);
        Assert.Equal(0, bare[^1]);

        var far = new float[2];
        Retimer.Render(input, 0, [-1e15, 1e15], 1, far);
        Assert.Equal([0f, 0f], far);
        Retimer.Render([], 0, [0.5, 10], 1, far);
        Assert.Equal([0f, 0f], far);
    }

    /// <summary>More than one thread may use it: there is no state but tables that never change.</summary>
    [Fact]
    public void Threads_do_not_disturb_each_other()
    {
        var input = Noise(20_000, 7);
        float[] Once()
        {
            var output = new float[12_000];
            Retimer.RenderFixed(input, 0, 300.1, 1.4142, output);
            return output;
        }
        var alone = Once();
        var together = new float[8][];
        Parallel.For(0, together.Length, k => together[k] = Once());
        Assert.All(together, other => Assert.Equal(alone, other));
    }

    [Fact]
    public void Rendering_allocates_nothing()
    {
        var input = Noise(20_000, 8);
        var output = new float[5000];
        var positions = Enumerable.Range(0, 5000).Select(i => -20 + i * 1.1).ToArray();
        Measure();
        var before = GC.GetAllocatedBytesForCurrentThread();
        Measure();
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);

        void Measure()
        {
            Retimer.RenderFixed(input, 0, 100.5, 1.1, output);
            Retimer.RenderFixed(input, 0, 100.5, 11, output);
            Retimer.RenderFixed(input, 0, 100.5, 2, output);
            Retimer.RenderFixed(input, 0, 100.5, 1.10317, output);
            Retimer.Render(input, 0, positions, 1 / 1.1, output);
        }
    }

    [Theory]
    [InlineData(0f)]
    [InlineData(1f)]
    [InlineData(1e-41f)]
    [InlineData(float.MaxValue / 8)]
    public void Silence_full_scale_and_denormals_stay_finite(float amplitude)
    {
        var input = new float[2000];
        for (var i = 0; i < input.Length; i++)
            input[i] = i % 3 == 0 ? amplitude : -amplitude;
        var output = new float[1500];
        // The way of whole ratios, and the general one.
        foreach (var step in (double[])[1.21, 1.21317])
        {
            Retimer.RenderFixed(input, 0, 0.5, step, output);
            Assert.All(output, y => Assert.True(float.IsFinite(y)));
            if (amplitude == 0)
                Assert.All(output, y => Assert.Equal(0, y));
        }
    }

    [Fact]
    public void A_constant_stays_that_constant()
    {
        var input = new float[3000];
        input.AsSpan().Fill(0.75f);
        foreach (var step in (double[])[0.3, 0.77, 1.0031, 1.9])
        {
            var output = new float[1000];
            Retimer.RenderFixed(input, 0, 400.1, step, output);
            foreach (var y in output)
                Measured.Within(0.75, y, 0.75 * 1e-6, $"constant at step {step}");
        }
    }

    [Theory]
    [InlineData(0, 1)]
    [InlineData(0.3, 1)]
    [InlineData(-1, 1)]
    [InlineData(1.25, 0.8)]
    [InlineData(-2.5, 0.4)]
    public void The_band_is_the_lower_Nyquist_frequency(double step, double band) =>
        Measured.Within(band, Retimer.BandwidthForStep(step), 1e-15, "band");

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(65)]
    [InlineData(-65)]
    [InlineData(double.PositiveInfinity)]
    public void A_step_that_no_kernel_serves_is_refused(double step) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Retimer.RenderFixed(new float[10], 0, 0, step, new float[10]));

    [Theory]
    [InlineData(0)]
    [InlineData(-0.5)]
    [InlineData(1.01)]
    [InlineData(double.NaN)]
    public void A_bandwidth_outside_its_range_is_refused(double bandwidth) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Retimer.Render(new float[10], 0, new double[10], bandwidth, new float[10]));

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(double.NegativeInfinity)]
    public void A_position_that_is_no_number_is_refused(double position) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Retimer.Render(new float[1000], 0, [500.5, position], 1, new float[2]));

    private static IEnumerable<(int At, int Count)> Cuts(int total, int seed)
    {
        var random = new Random(seed);
        for (var at = 0; at < total; )
        {
            var count = Math.Min(total - at, random.Next(0, 1500));
            yield return (at, count);
            at += count;
        }
    }

    private static double Min(ReadOnlySpan<double> values)
    {
        var least = double.PositiveInfinity;
        foreach (var value in values)
            least = Math.Min(least, value);
        return least;
    }

    private static double Max(ReadOnlySpan<double> values)
    {
        var most = double.NegativeInfinity;
        foreach (var value in values)
            most = Math.Max(most, value);
        return most;
    }

    private static float[] Noise(int count, int seed)
    {
        var random = new Random(seed);
        return [.. Enumerable.Range(0, count).Select(_ => random.NextSingle() - 0.5f)];
    }
}
