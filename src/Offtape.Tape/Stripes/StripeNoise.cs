namespace Offtape.Tape;

/// <summary>
/// Numbered noise: value n follows from the seed and n alone, so a stripe can be entered anywhere. It is the SplitMix64 sequence
/// (G. L. Steele, D. Lea and C. H. Flood, OOPSLA 2014), whose n-th output needs none of the earlier ones. Integers only, so it is the
/// same on every machine.
/// </summary>
internal static class StripeNoise
{
    private const ulong GoldenGamma = 0x9E37_79B9_7F4A_7C15;

    /// <summary>Output n (from 0) of the sequence that starts at the seed. Any n, also a negative one: the counter wraps.</summary>
    internal static ulong At(ulong seed, long n) => Mix(unchecked(seed + ((ulong)n + 1) * GoldenGamma));

    /// <summary>The upper 16 bits of output n as a signed whole number, even over −32 768 to 32 767.</summary>
    internal static short SampleAt(ulong seed, long n) => unchecked((short)(At(seed, n) >> 48));

    internal static ulong Mix(ulong value)
    {
        unchecked
        {
            value = (value ^ (value >> 30)) * 0xBF58_476D_1CE4_E5B9;
            value = (value ^ (value >> 27)) * 0x94D0_49BB_1331_11EB;
            return value ^ (value >> 31);
        }
    }
}
