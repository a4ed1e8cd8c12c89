using Offtape.Testing;

namespace Offtape.AudioFiles.Tests;

/// <summary>How numbers become integers: rounding, clipping, dither.</summary>
public sealed class QuantiserTests
{
    /// <summary>Nearest, ties to even: the rounding of IEEE 754. In steps of 16 bits.</summary>
    [Theory]
    [InlineData(0.49, 0)]
    [InlineData(0.5, 0)]
    [InlineData(0.51, 1)]
    [InlineData(1.5, 2)]
    [InlineData(2.5, 2)]
    [InlineData(-0.5, 0)]
    [InlineData(-1.5, -2)]
    [InlineData(-2.51, -3)]
    [InlineData(32_766.5, 32_766)]
    public void Rounds_to_the_nearest(double steps, int wanted)
    {
        var quantiser = new SampleQuantiser(16, null);
        Assert.Equal(wanted, quantiser.FromDouble(steps / 32_768));
        Assert.Equal(wanted, quantiser.FromFloat((float)(steps / 32_768)));
        Assert.Equal(0, quantiser.ClippedSampleCount);
    }

    [Theory]
    [InlineData(8)]
    [InlineData(16)]
    [InlineData(24)]
    [InlineData(32)]
    public void Saturates_and_counts(int bits)
    {
        var (lowest, highest) = ((int)-(1L << (bits - 1)), (int)((1L << (bits - 1)) - 1));
        var quantiser = new SampleQuantiser(bits, null);
        Assert.Equal(lowest, quantiser.FromDouble(-1));
        Assert.Equal(0, quantiser.ClippedSampleCount);
        Assert.Equal(highest, quantiser.FromDouble(1));
        Assert.Equal(highest, quantiser.FromFloat(1e30f));
        Assert.Equal(lowest, quantiser.FromFloat(-2));
        Assert.Equal(highest, quantiser.FromFloat(float.PositiveInfinity));
        Assert.Equal(lowest, quantiser.FromDouble(double.NegativeInfinity));
        Assert.Equal(0, quantiser.FromFloat(float.NaN));
        Assert.Equal(6, quantiser.ClippedSampleCount);
        // The largest float below 1 is not clipped where the integers are fine enough, and is where they are not.
        quantiser.FromFloat(MathF.BitDecrement(1));
        Assert.Equal(bits == 32 ? 6 : 7, quantiser.ClippedSampleCount);
    }

    [Theory]
    [InlineData(".wav", SampleEncoding.Pcm8)]
    [InlineData(".wav", SampleEncoding.Pcm16)]
    [InlineData(".aiff", SampleEncoding.Pcm24)]
    [InlineData(".wav", SampleEncoding.Pcm32)]
    [InlineData(".flac", SampleEncoding.Pcm24)]
    [InlineData(".caf", SampleEncoding.Pcm16)]
    public void Clipping_is_counted_by_the_writer_and_never_wraps(string ending, SampleEncoding encoding)
    {
        using var folder = new TempFolder();
        using (
            var writer = AudioWriter.Create(
                folder["a" + ending],
                new AudioFormat(48_000, 1, encoding),
                null,
                new WriteOptions { Dither = false }
            )
        )
        {
            writer.Write([0.25f, 1.5f, -1.5f, float.NaN, -1]);
            writer.WriteExact([2, 0.5]);
            Assert.Equal(4, writer.ClippedSampleCount);
            writer.Complete();
        }
        using var reader = AudioFile.Open(folder["a" + ending]);
        var top = 1 - Math.Pow(2, 1 - 8 * AudioFormat.BytesPer(encoding));
        Assert.Equal([0.25, top, -1, 0, -1, top, 0.5], reader.ReadAllExact());
    }

    [Fact]
    public void Floats_are_stored_as_they_are_beyond_full_scale_too()
    {
        using var folder = new TempFolder();
        using (var writer = AudioWriter.Create(folder["a.wav"], new AudioFormat(48_000, 1, SampleEncoding.Float32)))
        {
            writer.Write([1.5f, -7f, float.Epsilon]);
            Assert.Equal(0, writer.ClippedSampleCount);
            writer.Complete();
        }
        using var reader = AudioFile.Open(folder["a.wav"]);
        Assert.Equal([1.5f, -7f, float.Epsilon], reader.ReadAll());
    }

    /// <summary>
    /// Lipshitz, Wannamaker and Vanderkooy (JAES 40(5), 1992): with triangular dither of two steps' width the total error has mean 0 and
    /// variance 1/4 step², whatever the signal. Tolerance: five standard deviations of the estimate from 200 000 values; of the mean
    /// 5·0.5/√N, of the variance 5·√(m4/N) with m4 at most 1.5²·0.25, since no error exceeds 1.5 steps.
    /// </summary>
    [Theory]
    [InlineData(0)]
    [InlineData(0.1)]
    [InlineData(0.25)]
    [InlineData(0.5)]
    [InlineData(0.9)]
    [InlineData(-1234.3)]
    public void Dithers_with_an_error_that_does_not_depend_on_the_signal(double steps)
    {
        const int count = 200_000;
        var value = (float)(steps / 32_768);
        var quantiser = new SampleQuantiser(16, new TriangularDither(1));
        double sum = 0;
        double squares = 0;
        double product = 0;
        double last = 0;
        for (var i = 0; i < count; i++)
        {
            var error = quantiser.FromFloat(value) - value * 32_768.0;
            Assert.InRange(error, -1.5, 1.5);
            sum += error;
            squares += error * error;
            product += error * last;
            last = error;
        }
        Measured.Within(0, sum / count, 5 * 0.5 / Math.Sqrt(count), "mean error, steps");
        Measured.Within(0.25, squares / count, 5 * Math.Sqrt(1.5 * 1.5 * 0.25 / count), "mean square error, steps²");
        // Neighbours are independent: the product of two has mean 0 and variance 1/16.
        Measured.Within(0, product / count, 5 * 0.25 / Math.Sqrt(count), "correlation of neighbours, steps²");
    }

    [Theory]
    [InlineData(SampleEncoding.Pcm16, true, true)]
    [InlineData(SampleEncoding.Pcm8, true, true)]
    [InlineData(SampleEncoding.Pcm16, false, false)]
    [InlineData(SampleEncoding.Pcm24, true, false)]
    [InlineData(SampleEncoding.Pcm32, true, false)]
    [InlineData(SampleEncoding.Float32, true, false)]
    public void Dither_is_added_where_floats_are_reduced_to_16_bits_and_nowhere_else(SampleEncoding encoding, bool dither, bool isNoisy)
    {
        using var folder = new TempFolder();
        using (
            var writer = AudioWriter.Create(
                folder["a.wav"],
                new AudioFormat(48_000, 1, encoding),
                null,
                new WriteOptions { Dither = dither }
            )
        )
        {
            writer.Write(new float[1_000]);
            writer.WriteExact(new double[1_000]);
            writer.Complete();
        }
        using var reader = AudioFile.Open(folder["a.wav"]);
        var values = reader.ReadAllExact();
        Assert.Equal(isNoisy, values[..1_000].Any(v => v != 0));
        Assert.All(values[1_000..], v => Assert.Equal(0, v));
    }

    /// <summary>The same seed, the same noise, however the audio is divided into calls; another seed, another.</summary>
    [Fact]
    public void Dither_is_the_same_however_the_audio_is_divided()
    {
        using var folder = new TempFolder();
        double[] Render(string name, ulong seed, int cut)
        {
            using (
                var writer = AudioWriter.Create(
                    folder[name],
                    new AudioFormat(48_000, 2, SampleEncoding.Pcm16),
                    null,
                    new WriteOptions { DitherSeed = seed }
                )
            )
            {
                var audio = new float[80_000];
                for (var at = 0; at < audio.Length; at += 2 * cut)
                    writer.Write(audio.AsSpan(at, Math.Min(2 * cut, audio.Length - at)));
                writer.Complete();
            }
            using var reader = AudioFile.Open(folder[name]);
            return reader.ReadAllExact();
        }

        var whole = Render("a.wav", 1, 40_000);
        Assert.Equal(whole, Render("b.wav", 1, 7));
        Assert.NotEqual(whole, Render("c.wav", 2, 40_000));
    }

    [Theory]
    [InlineData(SampleEncoding.Pcm16, true)]
    [InlineData(SampleEncoding.Pcm24, true)]
    [InlineData(SampleEncoding.Float32, true)]
    [InlineData(SampleEncoding.Pcm16, false)]
    public void Writing_allocates_nothing(SampleEncoding encoding, bool dither)
    {
        using var folder = new TempFolder();
        using var writer = AudioWriter.Create(
            folder["a.wav"],
            new AudioFormat(48_000, 2, encoding),
            null,
            new WriteOptions { Dither = dither }
        );
        var (floats, doubles) = (new float[20_000], new double[20_000]);
        for (var warm = 0; warm < 50; warm++)
        {
            writer.Write(floats);
            writer.WriteExact(doubles);
        }
        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var i = 0; i < 5; i++)
        {
            writer.Write(floats);
            writer.WriteExact(doubles);
        }
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }
}
