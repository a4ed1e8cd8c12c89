namespace Offtape.AudioFiles;

/// <summary>Rate, channels and encoding of an audio file.</summary>
/// <param name="SampleRateHz">Frames in a second, 8 000 to 384 000.</param>
/// <param name="ChannelCount">Samples in a frame, 1 to 64.</param>
/// <param name="Encoding">How each sample is stored.</param>
public sealed record AudioFormat(int SampleRateHz, int ChannelCount, SampleEncoding Encoding)
{
    /// <summary>The most channels that are read or written.</summary>
    public const int MostChannels = 64;

    /// <summary>Bytes that one sample takes when stored as PCM.</summary>
    public int BytesPerSample => BytesPer(Encoding);

    /// <summary>Bytes that one sample of every channel takes when stored as PCM.</summary>
    public int BytesPerFrame => BytesPerSample * ChannelCount;

    /// <summary>Whether the samples are floating-point numbers, and so may lie beyond full scale.</summary>
    public bool IsFloat => Encoding is SampleEncoding.Float32 or SampleEncoding.Float64;

    internal static int BytesPer(SampleEncoding encoding) =>
        encoding switch
        {
            SampleEncoding.Pcm8 => 1,
            SampleEncoding.Pcm16 => 2,
            SampleEncoding.Pcm24 => 3,
            SampleEncoding.Pcm32 or SampleEncoding.Float32 => 4,
            SampleEncoding.Float64 => 8,
            _ => throw new ArgumentOutOfRangeException(nameof(encoding), encoding, "Not a sample encoding."),
        };
}
