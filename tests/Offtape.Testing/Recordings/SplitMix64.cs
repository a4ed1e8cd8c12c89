namespace Offtape.Testing;

/// <summary>
/// A small pseudo-random sequence that is the same on every machine and runtime (Steele, Lea and Flood, "Fast splittable pseudorandom
/// number generators", 2014).
/// </summary>
public sealed class SplitMix64(ulong seed)
{
    private ulong _state = seed;

    public ulong Next()
    {
        var z = _state += 0x9E3779B97F4A7C15;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return z ^ (z >> 31);
    }

    /// <summary>From 0 up to, not including, 1.</summary>
    public double Unit() => (Next() >> 11) * (1.0 / (1UL << 53));

    /// <summary>A whole number from 0 to <paramref name="count"/> − 1.</summary>
    public int Below(int count) => (int)(Next() % (ulong)count);
}
