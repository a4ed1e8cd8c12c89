namespace Offtape.Passes;

/// <summary>Sample format of the send.</summary>
public enum SendDepth
{
    /// <summary>16-bit integers, dithered.</summary>
    Pcm16,

    /// <summary>24-bit integers.</summary>
    Pcm24,

    /// <summary>32-bit floating point.</summary>
    Float32,
}
