using Offtape.AudioFiles;

namespace Offtape.Web.Tests;

/// <summary>Small sounds for uploads.</summary>
internal static class Sounds
{
    public const int SampleRateHz = 48_000;

    /// <summary>The bytes of a mono file that holds noise, the same for the same seed.</summary>
    public static byte[] Wav(double seconds, AudioMetadata? metadata = null, int seed = 1)
    {
        var path = Path.Combine(Path.GetTempPath(), $"offtape-{Guid.NewGuid():N}.wav");
        var noise = new Random(seed);
        var samples = new float[(int)(seconds * SampleRateHz)];
        for (var i = 0; i < samples.Length; i++)
            samples[i] = (noise.NextSingle() - 0.5f) * 0.5f;
        using (var writer = AudioWriter.Create(path, new AudioFormat(SampleRateHz, 1, SampleEncoding.Pcm24), metadata))
        {
            writer.Write(samples);
            writer.Complete();
        }
        var bytes = File.ReadAllBytes(path);
        File.Delete(path);
        return bytes;
    }
}
