using System.Text;
using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>
/// Checks the transforms, at every vector width that this machine has, against the defining sum X[k] = Σ x[n]·e^(−2πikn/N) in double.
/// </summary>
public sealed class TransformTests
{
    /// <summary>The promise: −130 dB in single precision, whatever the length. Float rounding alone gives −135 to −150 dB.</summary>
    private const double LimitDb = -130;

    public static TheoryData<int> Lanes => [1, 4, 8, 16];

    /// <summary>The oracle for long transforms is itself held against the sum. Tolerance: double rounding, 2^−53 times a few passes.</summary>
    [Fact]
    public void Textbook_halving_is_the_defining_sum()
    {
        var (re, im) = (Noise(512, 1), Noise(512, 2));
        Measured.AtMost(-290, ErrorDb(TextbookTransform.Sum(re, im), TextbookTransform.Halving(re, im)), "error in dB");
    }

    [Theory, MemberData(nameof(Lanes))]
    public void Complex_forward_is_the_defining_sum_at_every_length(int lanes)
    {
        SkipUnlessSupported(lanes);
        var limits = new LimitTable(LimitDb);
        for (var log = 1; log <= 18; log++)
        {
            var length = 1 << log;
            var (re, im) = (Noise(length, log), Noise(length, 100 + log));
            var truth = log <= 9 ? TextbookTransform.Sum(re, im) : TextbookTransform.Halving(re, im);
            var (gotRe, gotIm) = (ToFloat(re), ToFloat(im));
            new ComplexTransform(length, lanes).Forward(gotRe, gotIm);
            limits.Add($"2^{log}", ErrorDb(truth, Pairs(gotRe, gotIm)));
        }
        limits.Judge();
    }

    [Theory, MemberData(nameof(Lanes))]
    public void Real_forward_is_the_defining_sum_at_every_length(int lanes)
    {
        SkipUnlessSupported(lanes);
        var limits = new LimitTable(LimitDb);
        for (var log = 1; log <= 18; log++)
        {
            var length = 1 << log;
            var samples = Noise(length, log);
            var truth =
                log <= 9 ? TextbookTransform.Sum(samples, new double[length]) : TextbookTransform.Halving(samples, new double[length]);
            var transform = new RealTransform(length, lanes);
            var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
            transform.Forward(ToFloat(samples), re, im);
            limits.Add($"2^{log}", ErrorDb(truth[..transform.BinCount], Pairs(re, im)));
        }
        limits.Judge();
    }

    /// <summary>The inverse is checked by what it must undo: the sum's own spectrum goes in, the samples must come out.</summary>
    [Theory, MemberData(nameof(Lanes))]
    public void Inverses_give_back_the_samples_of_a_true_spectrum(int lanes)
    {
        SkipUnlessSupported(lanes);
        var limits = new LimitTable(LimitDb);
        for (var log = 1; log <= 16; log++)
        {
            var length = 1 << log;
            var (re, im) = (Noise(length, log), Noise(length, 100 + log));
            var spectrum = TextbookTransform.Halving(re, im);
            var (gotRe, gotIm) = (ToFloat([.. spectrum.Select(v => v.Re)]), ToFloat([.. spectrum.Select(v => v.Im)]));
            new ComplexTransform(length, lanes).Inverse(gotRe, gotIm);
            limits.Add($"complex 2^{log}", ErrorDb(Pairs(ToFloat(re), ToFloat(im)), Pairs(gotRe, gotIm)));

            var real = TextbookTransform.Halving(re, new double[length])[..(length / 2 + 1)];
            var samples = new float[length];
            new RealTransform(length, lanes).Inverse(ToFloat([.. real.Select(v => v.Re)]), ToFloat([.. real.Select(v => v.Im)]), samples);
            limits.Add($"real 2^{log}", ErrorDb(Pairs(ToFloat(re), new float[length]), Pairs(samples, new float[length])));
        }
        limits.Judge();
    }

    /// <summary>
    /// At the greatest lengths, by a closed form: a click at n0 has the spectrum e^(−2πik·n0/N), every value of which is a product of
    /// twiddles, and two clicks at odd places far apart take different ways through all the passes.
    /// </summary>
    [Theory, InlineData(20, 1), InlineData(20, 4), InlineData(20, 8), InlineData(20, 16), InlineData(22, 0), InlineData(24, 0)]
    public void Clicks_have_their_closed_form_spectrum_at_great_lengths(int log, int lanes)
    {
        SkipUnlessSupported(lanes);
        var length = 1 << log;
        var (first, second) = (length / 3, length - 5);
        var samples = new float[length];
        (samples[first], samples[second]) = (1, -0.5f);
        var transform = new RealTransform(length, lanes);
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        transform.Forward(samples, re, im);
        var (error, power) = (0.0, 0.0);
        for (var k = 0; k < re.Length; k++)
        {
            var (s1, c1) = Math.SinCos(-2 * Math.PI * ((long)k * first % length) / length);
            var (s2, c2) = Math.SinCos(-2 * Math.PI * ((long)k * second % length) / length);
            var (wantedRe, wantedIm) = (c1 - 0.5 * c2, s1 - 0.5 * s2);
            error += Square(re[k] - wantedRe) + Square(im[k] - wantedIm);
            power += Square(wantedRe) + Square(wantedIm);
        }
        Measured.AtMost(LimitDb, 10 * Math.Log10(error / power), "error in dB");

        var back = new float[length];
        transform.Inverse(re, im, back);
        // A click's error is spread over all samples: no single one may stand out by more than a few roundings of full scale (2^−24).
        var worst = 0.0;
        for (var n = 0; n < length; n++)
            worst = Math.Max(worst, Math.Abs(back[n] - samples[n]));
        Measured.AtMost(8 * Math.Pow(2, -24), worst, "largest difference");
    }

    /// <summary>One wrong value among many would hide in a mean: every bin by itself, against the rounding that its size allows.</summary>
    [Theory, MemberData(nameof(Lanes))]
    public void No_single_bin_is_off(int lanes)
    {
        SkipUnlessSupported(lanes);
        foreach (var length in new[] { 64, 256, 2048, 8192 })
        {
            var samples = Noise(length, 5);
            var truth = TextbookTransform.Halving(samples, new double[length]);
            var transform = new RealTransform(length, lanes);
            var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
            transform.Forward(ToFloat(samples), re, im);
            // The error of a bin is a sum of N roundings of 2^−24 each with random signs, and grows with the passes: √N·log2(N)·2^−24
            // stands far above any of them and far below the bins themselves, which are about √(N/3).
            var limit = Math.Sqrt(length) * Math.Log2(length) * Math.Pow(2, -24);
            for (var k = 0; k < re.Length; k++)
            {
                Measured.Within(truth[k].Re, re[k], limit, $"real part of bin {k} of {length}");
                Measured.Within(truth[k].Im, im[k], limit, $"imaginary part of bin {k} of {length}");
            }
        }
    }

    /// <summary>The second oracle: scipy.fft.rfft in double, from tools/reference/transforms.py.</summary>
    [Theory, MemberData(nameof(Lanes))]
    public void Real_forward_is_SciPys(int lanes)
    {
        SkipUnlessSupported(lanes);
        var samples = Reference.Column("rfft-512.csv", "x");
        var (wantedRe, wantedIm) = (Reference.Column("rfft-512.csv", "re"), Reference.Column("rfft-512.csv", "im"));
        var transform = new RealTransform(512, lanes);
        var (re, im) = (new float[257], new float[257]);
        transform.Forward(ToFloat(samples), re, im);
        var truth = wantedRe.Zip(wantedIm).Take(257).ToArray();
        Measured.AtMost(LimitDb, ErrorDb(truth, Pairs(re, im)), "error in dB");
    }

    [Theory, MemberData(nameof(Lanes))]
    public void Used_instance_gives_what_a_fresh_one_gives(int lanes)
    {
        SkipUnlessSupported(lanes);
        var (first, second) = (ToFloat(Noise(4096, 1)), ToFloat(Noise(4096, 2)));
        var used = new RealTransform(4096, lanes);
        var (re, im, back) = (new float[2049], new float[2049], new float[4096]);
        used.Forward(first, re, im);
        used.Inverse(re, im, back);
        used.Forward(second, re, im);
        var (freshRe, freshIm) = (new float[2049], new float[2049]);
        new RealTransform(4096, lanes).Forward(second, freshRe, freshIm);
        Assert.Equal(freshRe, re);
        Assert.Equal(freshIm, im);
    }

    [Theory, MemberData(nameof(Lanes))]
    public void Transforms_allocate_nothing(int lanes)
    {
        SkipUnlessSupported(lanes);
        var real = new RealTransform(1024, lanes);
        var complex = new ComplexTransform(1024, lanes);
        var (samples, re, im) = (new float[1024], new float[1024], new float[1024]);
        void Once()
        {
            real.Forward(samples, re, im);
            real.Inverse(re, im, samples);
            complex.Forward(re, im);
            complex.Inverse(re, im);
        }
        Once();
        var before = GC.GetAllocatedBytesForCurrentThread();
        Once();
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    [Theory, MemberData(nameof(Lanes))]
    public void Silence_full_scale_and_denormals_stay_finite(int lanes)
    {
        SkipUnlessSupported(lanes);
        foreach (var value in new[] { 0f, 1f, -1f, float.Epsilon, 1e-40f })
        {
            var samples = new float[2048];
            samples.AsSpan().Fill(value);
            var transform = new RealTransform(2048, lanes);
            var (re, im, back) = (new float[1025], new float[1025], new float[2048]);
            transform.Forward(samples, re, im);
            transform.Inverse(re, im, back);
            Assert.All(re, v => Assert.True(float.IsFinite(v)));
            Assert.All(im, v => Assert.True(float.IsFinite(v)));
            Assert.All(back, v => Assert.True(float.IsFinite(v)));
            // A constant has one bin, N times its value; the roundings of adding it up are all exact for powers of two.
            if (Math.Abs(value) is 0 or 1)
                Assert.Equal(2048 * value, re[0]);
        }
    }

    [Theory, InlineData(0), InlineData(1), InlineData(3), InlineData(48_000), InlineData(1 << 25), InlineData(-4)]
    public void Other_lengths_are_refused(int length)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new RealTransform(length));
        Assert.Throws<ArgumentOutOfRangeException>(() => new ComplexTransform(length));
    }

    [Fact]
    public void Short_spans_are_refused_before_anything_is_written()
    {
        var transform = new RealTransform(64);
        var (re, im) = (new float[33], new float[33]);
        Assert.Throws<ArgumentOutOfRangeException>(() => transform.Forward(new float[63], re, im));
        Assert.Throws<ArgumentOutOfRangeException>(() => transform.Forward(new float[64], re, im.AsSpan(1)));
        Assert.Throws<ArgumentOutOfRangeException>(() => transform.Inverse(re, im, new float[63]));
        Assert.All(re, value => Assert.Equal(0, value));
    }

    [Theory, InlineData(0, 2), InlineData(2, 2), InlineData(3, 4), InlineData(1025, 2048), InlineData(1 << 24, 1 << 24)]
    public void Shortest_length_that_holds(int frameCount, int wanted) => Assert.Equal(wanted, TransformLength.AtLeast(frameCount));

    private static void SkipUnlessSupported(int lanes) =>
        Assert.SkipUnless(lanes <= TransformPlan.WidestLanes, $"This machine has no vectors of {lanes} floats.");

    private static double[] Noise(int length, int seed)
    {
        var random = new Random(seed);
        var noise = new double[length];
        // Values that a float holds exactly: the transform and its truth start from the same numbers.
        foreach (ref var value in noise.AsSpan())
            value = (float)(2 * random.NextDouble() - 1);
        return noise;
    }

    private static float[] ToFloat(double[] values) => [.. values.Select(value => (float)value)];

    private static (double Re, double Im)[] Pairs(float[] re, float[] im) => [.. re.Zip(im, (r, i) => ((double)r, (double)i))];

    private static double Square(double value) => value * value;

    /// <summary>Power of the difference ÷ power of the truth.</summary>
    private static double ErrorDb((double Re, double Im)[] truth, (double Re, double Im)[] got)
    {
        Assert.Equal(truth.Length, got.Length);
        var (error, power) = (0.0, 0.0);
        for (var k = 0; k < truth.Length; k++)
        {
            error += Square(got[k].Re - truth[k].Re) + Square(got[k].Im - truth[k].Im);
            power += Square(truth[k].Re) + Square(truth[k].Im);
        }
        return 10 * Math.Log10(error / power);
    }

    /// <summary>Measurements against one limit: when one fails, all are shown.</summary>
    private sealed class LimitTable(double limitDb)
    {
        private readonly StringBuilder rows = new();
        private bool failed;

        public void Add(string name, double measuredDb)
        {
            rows.Append($"\n{name}: {measuredDb:F1} dB{(measuredDb <= limitDb ? "" : " ***")}");
            failed |= !(measuredDb <= limitDb);
        }

        public void Judge() => Assert.False(failed, $"Wanted at most {limitDb} dB; measured:{rows}");
    }
}
