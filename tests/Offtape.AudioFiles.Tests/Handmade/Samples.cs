namespace Offtape.AudioFiles.Tests;

/// <summary>Values that an encoding holds exactly, both ends of its range among them.</summary>
internal static class Samples
{
    public static double[] Exact(SampleEncoding encoding, int count, int seed = 7)
    {
        var random = new Random(seed);
        var full = Math.Pow(2, 8 * AudioFormat.BytesPer(encoding) - 1);
        var values = new double[count];
        for (var i = 0; i < count; i++)
            values[i] = encoding switch
            {
                SampleEncoding.Float32 => (float)(3 * random.NextDouble() - 1.5),
                SampleEncoding.Float64 => 3 * random.NextDouble() - 1.5,
                _ => random.NextInt64(-(long)full, (long)full) / full,
            };
        if (count > 1 && encoding is not (SampleEncoding.Float32 or SampleEncoding.Float64))
            (values[0], values[1]) = (-1, (full - 1) / full);
        return values;
    }

    public static double[] ReadAllExact(this IAudioReader reader)
    {
        var values = new double[reader.FrameCount * reader.Format.ChannelCount];
        Assert.Equal(reader.FrameCount, reader.ReadExact(0, values));
        return values;
    }

    public static float[] ReadAll(this IAudioReader reader)
    {
        var values = new float[reader.FrameCount * reader.Format.ChannelCount];
        Assert.Equal(reader.FrameCount, reader.Read(0, values));
        return values;
    }

    public static void WriteFile(
        string path,
        AudioFormat format,
        double[] values,
        AudioMetadata? metadata = null,
        WriteOptions? options = null
    )
    {
        using var writer = AudioWriter.Create(path, format, metadata, options);
        writer.WriteExact(values);
        writer.Complete();
    }
}
