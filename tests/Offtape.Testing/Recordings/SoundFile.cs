namespace Offtape.Testing;

/// <summary>
/// Reads a whole audio file with libsndfile alone, so that what a test hears does not depend on the readers under test.
/// </summary>
public static class SoundFile
{
    /// <summary>One array a channel, full scale ±1, and the file's own rate.</summary>
    public static (float[][] Channels, int SampleRateHz) Read(string path)
    {
        using var file = LibSndFile.OpenRead(path);
        var interleaved = new float[file.FrameCount * file.ChannelCount];
        var got = file.Read(interleaved);
        if (got != file.FrameCount)
            throw new InvalidDataException($"libsndfile read {got} of {file.FrameCount} frames of {path}.");
        var channels = new float[file.ChannelCount][];
        for (var c = 0; c < channels.Length; c++)
        {
            channels[c] = new float[got];
            for (var i = 0; i < got; i++)
                channels[c][i] = interleaved[i * channels.Length + c];
        }
        return (channels, file.SampleRateHz);
    }
}
