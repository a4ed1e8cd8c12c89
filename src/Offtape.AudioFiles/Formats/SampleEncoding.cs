namespace Offtape.AudioFiles;

/// <summary>How one sample is stored. Integer PCM of n bits stands for value ÷ 2^(n−1), so −1 to just under +1.</summary>
public enum SampleEncoding
{
    /// <summary>8-bit integer.</summary>
    Pcm8,

    /// <summary>16-bit integer.</summary>
    Pcm16,

    /// <summary>24-bit integer.</summary>
    Pcm24,

    /// <summary>32-bit integer.</summary>
    Pcm32,

    /// <summary>IEEE 754 single precision; 1.0 is full scale. Also what lossy codecs are decoded to.</summary>
    Float32,

    /// <summary>IEEE 754 double precision; 1.0 is full scale.</summary>
    Float64,
}
