using System.Numerics;
using Offtape.Testing;

namespace Offtape.Signal.Tests.Filters;

/// <summary>Running sections against the difference equation written out, and what every kernel owes.</summary>
public sealed class BiquadTests
{
    private static readonly BiquadCoefficients Rumble = FilterDesign.ButterworthHighPass(2, 10, 192_000)[0];

    /// <summary>
    /// y[n] = b0·x[n] + b1·x[n−1] + b2·x[n−2] − a1·y[n−1] − a2·y[n−2], the definition. The section is the hard one: a corner of 10 Hz at
    /// 192 kHz, where state in float would lose a hundred dB. Tolerance: half a unit in the last place of a float near full scale, and
    /// a share for the double recursion.
    /// </summary>
    [Fact]
    public void A_running_section_is_its_difference_equation()
    {
        var input = Noise(200_000, 1);
        var output = new float[input.Length];
        new Biquad(Rumble).Process(input, output);
        var (b0, b1, b2, a1, a2) = Rumble;
        double x1 = 0,
            x2 = 0,
            y1 = 0,
            y2 = 0;
        for (var i = 0; i < input.Length; i++)
        {
            var y = b0 * input[i] + b1 * x1 + b2 * x2 - a1 * y1 - a2 * y2;
            (x2, x1, y2, y1) = (x1, input[i], y1, y);
            Measured.Within(y, output[i], 6.1e-8, $"sample {i}");
        }
    }

    /// <summary>The transform of a cascade's impulse response is the product of its sections' responses.</summary>
    [Fact]
    public void A_running_cascade_has_the_response_it_claims()
    {
        var cascade = new FilterCascade(FilterDesign.ButterworthLowPass(7, 5000, 48_000));
        var response = new double[4096];
        response[0] = 1;
        cascade.Process(response, response);
        foreach (var hz in (double[])[0, 100, 4000, 5000, 6000, 20_000])
        {
            var measured = Complex.Zero;
            for (var i = 0; i < response.Length; i++)
                measured += response[i] * Complex.FromPolarCoordinates(1, -2 * Math.PI * hz * i / 48_000);
            Measured.AtMost(1e-12, (measured - cascade.ResponseAt(hz, 48_000)).Magnitude, $"distance at {hz} Hz");
        }
    }

    [Fact]
    public void All_ways_through_a_section_give_the_same_samples()
    {
        var input = Noise(10_000, 2);
        var section = FilterDesign.Peaking(900, 7, 2, 48_000);
        var whole = new float[input.Length];
        new Biquad(section).Process(input, whole);

        var inPlace = (float[])input.Clone();
        new Biquad(section).Process(inPlace, inPlace);
        Assert.Equal(whole, inPlace);

        var cascade = new float[input.Length];
        new FilterCascade(section).Process(input, cascade);
        Assert.Equal(whole, cascade);

        var single = new Biquad(section);
        Assert.Equal(whole, input.Select(x => (float)single.Process(x)));

        var cut = new float[input.Length];
        var blocks = new Biquad(section);
        var random = new Random(3);
        for (var at = 0; at < cut.Length; )
        {
            var count = Math.Min(cut.Length - at, random.Next(0, 400));
            blocks.Process(input.AsSpan(at, count), cut.AsSpan(at, count));
            at += count;
        }
        Assert.Equal(whole, cut);
    }

    [Fact]
    public void Reset_is_as_new()
    {
        var input = Noise(1000, 4);
        var fresh = new double[1000];
        var again = new double[1000];
        var samples = Array.ConvertAll(input, x => (double)x);
        var section = new Biquad(Rumble);
        section.Process(samples, fresh);
        section.Process(samples, again);
        Assert.NotEqual(fresh, again);
        section.Reset();
        section.Process(samples, again);
        Assert.Equal(fresh, again);

        var cascade = new FilterCascade(Rumble, Rumble);
        cascade.Process(samples, fresh);
        cascade.Process(samples, again);
        Assert.NotEqual(fresh, again);
        cascade.Reset();
        cascade.Process(samples, again);
        Assert.Equal(fresh, again);
    }

    [Fact]
    public void Filtering_allocates_nothing()
    {
        var block = Noise(512, 5);
        var section = new Biquad(Rumble);
        var cascade = new FilterCascade(FilterDesign.ButterworthLowPass(6, 300, 48_000));
        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var i = 0; i < 50; i++)
        {
            section.Process(block, block);
            cascade.Process(block, block);
        }
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    /// <summary>After a sound the state decays to exact silence instead of staying in denormal numbers.</summary>
    [Theory]
    [InlineData(1f)]
    [InlineData(1e-40f)]
    public void A_filter_rings_out_and_comes_to_rest(float amplitude)
    {
        var block = new float[4096];
        block[0] = amplitude;
        var section = new Biquad(FilterDesign.BandPass(1000, 3, 48_000));
        for (var i = 0; i < 20; i++)
        {
            section.Process(block, block);
            Assert.All(block, y => Assert.True(float.IsFinite(y)));
            block.AsSpan().Clear();
        }
        Assert.Equal(0, section.Process(0));
    }

    [Fact]
    public void Unequal_lengths_are_refused() =>
        Assert.Throws<ArgumentException>(() => new Biquad(Rumble).Process(new float[3], new float[4]));

    private static float[] Noise(int count, int seed)
    {
        var random = new Random(seed);
        return [.. Enumerable.Range(0, count).Select(_ => random.NextSingle() - 0.5f)];
    }
}
