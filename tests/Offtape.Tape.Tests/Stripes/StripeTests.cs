using System.Runtime.InteropServices;
using System.Security.Cryptography;
using Offtape.Testing;

namespace Offtape.Tape.Tests;

public sealed class StripeTests
{
    /// <summary>
    /// The native signal, worked out frame by frame with 128-bit whole numbers, as its description says: nothing vectorised, nothing kept.
    /// </summary>
    private static float NativeFrameFromTheDescription(ulong seed, long frame)
    {
        Int128 sum = 0;
        for (var k = -255; k <= 255; k++)
            sum += (Int128)StripeShape.Coefficients[Math.Abs(k)] * LimitedFromTheDescription(seed, frame + k);
        return (float)((double)sum * (0.251188643150958 / (1.1 * 1_048_576 * 16_777_216)));
    }

    private static long LimitedFromTheDescription(ulong seed, long frame)
    {
        Int128 sum = 0;
        for (var k = -255; k <= 255; k++)
            sum += (Int128)StripeShape.Coefficients[Math.Abs(k)] * StripeNoise.SampleAt(seed, frame + k);
        var u = (double)sum * (0.7 / StripeShape.FilteredRms);
        return (long)Math.Round(u / Math.Sqrt(1 + u * u) * 1_048_576);
    }

    [Fact]
    public void The_native_signal_is_the_described_one_bit_for_bit()
    {
        var stripe = new Stripe(Stripe.SeedFor(77), Stripe.NativeRateHz);
        foreach (var first in new long[] { -300, 0, 4090, 123_456_789 })
        {
            var got = new float[20];
            stripe.Render(first, got);
            for (var i = 0; i < got.Length; i++)
                Assert.Equal(NativeFrameFromTheDescription(Stripe.SeedFor(77), first + i), got[i]);
        }
    }

    /// <summary>
    /// Format version 1 for ever: a tape striped with one build must be followed by any later one. The digest comes from a second
    /// implementation, tools/reference/stripe.py (NumPy 1.24.2); it may change only together with <see cref="Stripe.FormatVersion"/>.
    /// </summary>
    [Fact]
    public void The_first_second_of_pass_5_never_changes()
    {
        var second = new float[Stripe.NativeRateHz];
        new Stripe(Stripe.SeedFor(5), Stripe.NativeRateHz).Render(0, second);
        Assert.Equal(
            "dc0881e2aed3c4f687e934ff4c0e88e553b574e54008aa5f43d5dd5e6856e8a4",
            Convert.ToHexStringLower(SHA256.HashData(MemoryMarshal.AsBytes(second.AsSpan())))
        );
    }

    [Theory, InlineData(8_000), InlineData(24_000), InlineData(44_100), InlineData(48_000), InlineData(96_001), InlineData(384_000)]
    public void Any_cut_and_any_order_give_the_same_bits(int sampleRateHz)
    {
        const int length = 20_000;
        const long start = -7_001;
        var whole = new float[length];
        new Stripe(9, sampleRateHz).Render(start, whole);
        var random = new Random(1);
        var pieces = new Stripe(9, sampleRateHz);
        for (var i = 0; i < 60; i++)
        {
            var from = random.Next(length);
            var piece = new float[random.Next(0, Math.Min(6000, length - from))];
            pieces.Render(start + from, piece);
            Assert.Equal(whole[from..(from + piece.Length)], piece);
        }
    }

    /// <summary>
    /// The same signal at every rate. The outside truth is a windowless sum of sinc functions over the native frames, which is the
    /// definition of the band-limited signal; its own truncation at ±4000 frames leaves about −75 dB, so the limit is −70 dB.
    /// </summary>
    [Theory, InlineData(44_100), InlineData(48_000), InlineData(96_000)]
    public void At_another_rate_it_is_the_same_signal(int sampleRateHz)
    {
        const int reach = 4000;
        const long firstFrame = 1_000_003;
        var output = new float[64];
        new Stripe(3, sampleRateHz).Render(firstFrame, output);
        double error = 0;
        double power = 0;
        for (var i = 0; i < output.Length; i++)
        {
            var position = (firstFrame + i) * 24_000.0 / sampleRateHz;
            var middle = (long)Math.Floor(position);
            var native = new float[2 * reach];
            new Stripe(3, 24_000).Render(middle - reach, native);
            double value = 0;
            for (var n = 0; n < native.Length; n++)
            {
                var x = Math.PI * (position - (middle - reach + n));
                value += native[n] * (x == 0 ? 1 : Math.Sin(x) / x);
            }
            error += (value - output[i]) * (value - output[i]);
            power += value * value;
        }
        Measured.AtMost(-70, 10 * Math.Log10(error / power), "error against the sinc sum, dB");
    }

    /// <summary>The result an hour into a tape is as true as at its start: whole native frames that a 48 kHz stripe passes through.</summary>
    [Theory, InlineData(0L), InlineData(3600L * 24_000)]
    public void Every_second_frame_at_48_kHz_is_a_native_frame(long firstNativeFrame)
    {
        var native = new float[5000];
        new Stripe(3, 24_000).Render(firstNativeFrame, native);
        var fine = new float[10_000];
        new Stripe(3, 48_000).Render(2 * firstNativeFrame, fine);
        double worst = 0;
        for (var i = 0; i < native.Length; i++)
            worst = Math.Max(worst, Math.Abs(native[i] - fine[2 * i]));
        // The retimer's own promise up to 0.8 of Nyquist, where the stripe ends, is −120 dB of each component; the worst of 5000
        // frames of noise may stand 12 dB over their RMS error.
        Measured.AtMost(-105, 20 * Math.Log10(worst / 0.25), "largest difference, dB of the peak");
    }

    /// <summary>
    /// Spectrum by averaged periodograms of one minute (textbook: Hann window, mean square per band). Slope −0.25 in amplitude is
    /// −1.505 dB an octave; the band means of 500 averages scatter by 0.1 dB, soft limiting bends the slope by 0.1 dB.
    /// </summary>
    [Fact]
    public void The_spectrum_falls_by_one_and_a_half_decibels_an_octave_within_300_Hz_to_9_kHz()
    {
        var audio = new float[60 * 24_000];
        new Stripe(Stripe.SeedFor(1), 24_000).Render(0, audio);
        double Level(double hertz)
        {
            const int window = 2400; // 10 Hz bins
            double power = 0;
            foreach (var bin in new[] { hertz - 20, hertz - 10, hertz, hertz + 10, hertz + 20 })
            {
                for (var from = 0; from + window <= audio.Length; from += window)
                {
                    double re = 0;
                    double im = 0;
                    for (var i = 0; i < window; i++)
                    {
                        var hann = 0.5 - 0.5 * Math.Cos(2 * Math.PI * i / window);
                        var phase = 2 * Math.PI * bin * i / 24_000;
                        re += hann * audio[from + i] * Math.Cos(phase);
                        im += hann * audio[from + i] * Math.Sin(phase);
                    }
                    power += re * re + im * im;
                }
            }
            return 10 * Math.Log10(power);
        }

        var at1000 = Level(1000);
        foreach (var (hertz, wanted) in new[] { (500.0, 1.505), (2000, -1.505), (4000, -3.01), (8000, -4.515) })
            Measured.Within(wanted, Level(hertz) - at1000, 0.5, $"{hertz} Hz against 1 kHz");
        // Outside the band only what the limiter makes, filtered once more; the Hann window's own skirts lie lower.
        Measured.AtMost(-50, Level(100) - at1000, "100 Hz against 1 kHz");
        Measured.AtMost(-80, Level(10_500) - at1000, "10.5 kHz against 1 kHz");
    }

    /// <summary>Over a minute, at the usual rates: the highest of millions of noise values scatters by some tenths of a decibel.</summary>
    [Theory, InlineData(24_000), InlineData(44_100), InlineData(48_000), InlineData(96_000)]
    public void The_peak_is_about_12_decibels_under_full_scale(int sampleRateHz)
    {
        var audio = new float[60 * sampleRateHz];
        new Stripe(Stripe.SeedFor(2), sampleRateHz).Render(0, audio);
        Measured.Within(-12, 20 * Math.Log10(audio.Max(Math.Abs)), 0.5, "peak, dBFS");
    }

    [Fact]
    public void Passes_are_told_apart_and_a_stripe_does_not_repeat()
    {
        static double Correlation(ReadOnlySpan<float> a, ReadOnlySpan<float> b)
        {
            double ab = 0;
            double aa = 0;
            double bb = 0;
            for (var i = 0; i < a.Length; i++)
                (ab, aa, bb) = (ab + a[i] * b[i], aa + a[i] * a[i], bb + b[i] * b[i]);
            return ab / Math.Sqrt(aa * bb);
        }

        var (a, b, later) = (new float[24_000], new float[24_000], new float[24_000]);
        var stripe = new Stripe(Stripe.SeedFor(0), 24_000);
        stripe.Render(0, a);
        stripe.Render(3600 * 24_000, later);
        new Stripe(Stripe.SeedFor(1), 24_000).Render(0, b);
        // Independent noise of 18 kHz·s: standard error about 1/√18 000 = 0.0075; five of them.
        Measured.Within(0, Correlation(a, b), 0.04, "correlation of two passes");
        Measured.Within(0, Correlation(a, later), 0.04, "correlation with itself an hour later");
        Assert.Equal(128, Enumerable.Range(0, 128).Select(Stripe.SeedFor).Distinct().Count());
    }

    [Fact]
    public void A_level_moves_the_whole_signal()
    {
        var (usual, quiet) = (new float[1000], new float[1000]);
        new Stripe(1, 48_000).Render(0, usual);
        new Stripe(1, 48_000, -32).Render(0, quiet);
        for (var i = 0; i < usual.Length; i++)
            Measured.Within(usual[i] * 0.1, quiet[i], 1e-7, "20 dB lower");
    }

    [Fact]
    public void Rendering_allocates_nothing()
    {
        var stripe = new Stripe(1, 44_100);
        var output = new float[10_000];
        stripe.Render(0, output);
        var before = GC.GetAllocatedBytesForCurrentThread();
        stripe.Render(10_000, output);
        stripe.Render(5, output);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    [Fact]
    public void Impossible_rates_and_numbers_are_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new Stripe(1, 4_000));
        Assert.Throws<ArgumentOutOfRangeException>(() => Stripe.SeedFor(-1));
    }
}
