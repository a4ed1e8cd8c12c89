using CsCheck;

namespace Offtape.AudioFiles.Tests;

/// <summary>Properties of reading and writing that hold whatever the format, the length and the division into calls.</summary>
public sealed class RandomAccessTests
{
    private static readonly Gen<AudioFormat> Formats =
        from rate in Gen.Int[8_000, 384_000]
        from channels in Gen.Int[1, 9]
        from encoding in Gen.Enum<SampleEncoding>()
        select new AudioFormat(rate, channels, encoding);

    private static readonly Gen<string> OwnEndings = Gen.Int[0, 4].Select(i => ((string[])[".wav", ".rf64", ".bw64", ".aiff", ".aifc"])[i]);

    [Fact]
    public void What_is_written_comes_back_however_it_is_divided()
    {
        Gen.Select(Formats, OwnEndings, Gen.Int[1, 3_000], Gen.Int, Gen.Int[1, 700])
            .ForEach(200, seed: 1, args => RoundTrip(args.Item1, args.Item2, args.Item3, args.Item4, args.Item5));
    }

    private static void RoundTrip(AudioFormat format, string ending, int frameCount, int seed, int cut)
    {
        using var folder = new TempFolder();
        var path = folder["a" + ending];
        var values = Samples.Exact(format.Encoding, frameCount * format.ChannelCount, seed);
        using (var writer = AudioWriter.Create(path, format))
        {
            for (var at = 0; at < frameCount; at += cut)
                writer.WriteExact(values.AsSpan(at * format.ChannelCount, Math.Min(cut, frameCount - at) * format.ChannelCount));
            writer.Complete();
            Assert.Equal(0, writer.ClippedSampleCount);
            Assert.Equal(frameCount, writer.FrameCount);
        }
        using var reader = AudioFile.Open(path);
        Assert.Equal(format, reader.Format);
        Assert.Equal(frameCount, reader.FrameCount);
        Assert.Empty(reader.Notices);
        Assert.Equal(values, reader.ReadAllExact());
        // Any stretch, in any order, is the same piece of the whole. A float is the nearest to the exact value.
        var random = new Random(seed);
        for (var i = 0; i < 5; i++)
        {
            var start = random.Next(frameCount + 2);
            var wanted = random.Next(frameCount + 2);
            var floats = new float[wanted * format.ChannelCount];
            var got = reader.Read(start, floats);
            Assert.Equal(Math.Clamp(frameCount - start, 0, wanted), got);
            for (var s = 0; s < got * format.ChannelCount; s++)
                Assert.Equal((float)values[start * format.ChannelCount + s], floats[s]);
        }
    }

    [Fact]
    public void A_call_may_be_longer_than_the_inner_block()
    {
        using var folder = new TempFolder();
        foreach (var encoding in Enum.GetValues<SampleEncoding>())
        {
            var path = folder[encoding + ".wav"];
            var values = Samples.Exact(encoding, 3 * 100_003);
            Samples.WriteFile(path, new AudioFormat(48_000, 3, encoding), values);
            using var reader = AudioFile.Open(path);
            Assert.Equal(values, reader.ReadAllExact());
            Assert.Equal(values.Select(v => (float)v), reader.ReadAll());
        }
    }

    [Fact]
    public void A_rest_smaller_than_a_frame_is_left_alone()
    {
        using var folder = new TempFolder();
        Samples.WriteFile(folder["a.wav"], new AudioFormat(48_000, 2, SampleEncoding.Pcm16), [0.5, 0.5, 0.5, 0.5]);
        using var reader = AudioFile.Open(folder["a.wav"]);
        float[] samples = [9, 9, 9];
        Assert.Equal(1, reader.Read(0, samples));
        Assert.Equal([0.5f, 0.5f, 9f], samples);
        Assert.Throws<ArgumentOutOfRangeException>(() => reader.Read(-1, samples));
    }

    [Theory]
    [InlineData(SampleEncoding.Pcm16)]
    [InlineData(SampleEncoding.Pcm24)]
    [InlineData(SampleEncoding.Float32)]
    public void Reading_allocates_nothing(SampleEncoding encoding)
    {
        using var folder = new TempFolder();
        Samples.WriteFile(folder["a.wav"], new AudioFormat(48_000, 2, encoding), Samples.Exact(encoding, 2 * 50_000));
        using var reader = AudioFile.Open(folder["a.wav"]);
        var (floats, doubles) = (new float[20_000], new double[20_000]);
        for (var warm = 0; warm < 50; warm++)
        {
            reader.Read(warm, floats);
            reader.ReadExact(warm, doubles);
        }
        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var at = 0; at < 40_000; at += 10_000)
        {
            reader.Read(at, floats);
            reader.ReadExact(at, doubles);
        }
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    [Fact]
    public void The_same_input_makes_the_same_bytes()
    {
        using var folder = new TempFolder();
        var metadata = new AudioMetadata { TimeReferenceFrames = 5, CuePoints = [new CuePoint(1, 3)] };
        foreach (var ending in (string[])[".wav", ".aiff", ".flac", ".caf", ".w64"])
        {
            foreach (var name in (string[])["a", "b"])
            {
                using var writer = AudioWriter.Create(folder[name + ending], new AudioFormat(48_000, 1, SampleEncoding.Pcm16), metadata);
                for (var i = 0; i < 100; i++)
                    writer.Write([0.1f * MathF.Sin(i)]);
                writer.Complete();
            }
            Assert.Equal(File.ReadAllBytes(folder["a" + ending]), File.ReadAllBytes(folder["b" + ending]));
        }
    }
}
