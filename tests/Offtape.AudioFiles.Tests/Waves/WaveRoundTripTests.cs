namespace Offtape.AudioFiles.Tests;

/// <summary>What is written can be read back, value for value.</summary>
public sealed class WaveRoundTripTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("offtape-files-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData(SampleEncoding.Pcm8, 1)]
    [InlineData(SampleEncoding.Pcm16, 2)]
    [InlineData(SampleEncoding.Pcm24, 1)]
    [InlineData(SampleEncoding.Pcm24, 3)]
    [InlineData(SampleEncoding.Pcm32, 2)]
    [InlineData(SampleEncoding.Float32, 2)]
    [InlineData(SampleEncoding.Float64, 64)]
    public void Stored_values_come_back_exactly(SampleEncoding encoding, int channelCount)
    {
        var path = Path.Combine(_folder, "a.wav");
        var random = new Random(7);
        var bits = 8 * AudioFormat.BytesPer(encoding);
        var samples = new double[channelCount * 1001];
        for (var i = 0; i < samples.Length; i++)
            samples[i] = encoding switch
            {
                SampleEncoding.Float32 => (float)(3 * random.NextDouble() - 1.5),
                SampleEncoding.Float64 => 3 * random.NextDouble() - 1.5,
                _ => random.NextInt64(-(1L << (bits - 1)), 1L << (bits - 1)) / Math.Pow(2, bits - 1),
            };
        var metadata = new AudioMetadata { TimeReferenceFrames = 4_665_600_000 };
        using (var writer = AudioWriter.Create(path, new AudioFormat(96_000, channelCount, encoding), metadata))
        {
            writer.WriteExact(samples.AsSpan(0, 100 * channelCount));
            writer.WriteExact(samples.AsSpan(100 * channelCount));
            writer.Complete();
            Assert.Equal(0, writer.ClippedSampleCount);
        }

        using var reader = AudioFile.Open(path);
        Assert.Equal(new AudioFormat(96_000, channelCount, encoding), reader.Format);
        Assert.Equal(1001, reader.FrameCount);
        Assert.Equal(4_665_600_000, reader.Metadata.TimeReferenceFrames);
        Assert.Empty(reader.Notices);
        var got = new double[samples.Length + channelCount];
        Assert.Equal(1001, reader.ReadExact(0, got));
        Assert.Equal(samples, got[..samples.Length]);
        var floats = new float[samples.Length];
        Assert.Equal(1001, reader.Read(0, floats));
        Assert.Equal(samples.Select(s => (float)s), floats);
        Assert.Equal(1, reader.Read(1000, floats));
        Assert.Equal(0, reader.Read(1001, floats));
        Assert.Equal(["a.wav"], Directory.GetFileSystemEntries(_folder).Select(Path.GetFileName));
    }
}
