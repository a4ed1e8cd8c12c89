namespace Offtape.AudioFiles;

/// <summary>
/// Noise with a triangular distribution of two steps' width (−1 to +1 step), which makes the error of a rounding to whole steps have
/// neither mean nor power that depend on the signal (Lipshitz, Wannamaker and Vanderkooy, "Quantization and Dither: A Theoretical Survey",
/// JAES 40(5), 1992). The same seed gives the same noise on every machine.
/// </summary>
internal sealed class TriangularDither(ulong seed)
{
    private ulong _state = seed;

    /// <summary>The next value, in steps; independent of those before it.</summary>
    public double Next()
    {
        var bits = NextBits();
        // Two independent 32-bit halves of one draw make the two uniform values.
        return ((uint)bits - (double)(uint)(bits >> 32)) * (1.0 / 4_294_967_296.0);
    }

    // SplitMix64 (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014).
    private ulong NextBits()
    {
        var z = _state += 0x9E37_79B9_7F4A_7C15;
        z = (z ^ (z >> 30)) * 0xBF58_476D_1CE4_E5B9;
        z = (z ^ (z >> 27)) * 0x94D0_49BB_1331_11EB;
        return z ^ (z >> 31);
    }
}
