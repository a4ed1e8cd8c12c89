using System.Numerics;

namespace Offtape.Simulator;

/// <summary>
/// Reproducible chance: xoshiro256** (D. Blackman and S. Vigna, "Scrambled linear pseudorandom number generators", ACM TOMS 47(4), 2021),
/// seeded by SplitMix64 from a run's seed and the name of what is drawn, so that no draw depends on the order of other draws or on threads.
/// </summary>
internal sealed class Dice
{
    private ulong _s0;
    private ulong _s1;
    private ulong _s2;
    private ulong _s3;

    internal Dice(ulong seed, string purpose, int index = 0)
    {
        var state = seed;
        foreach (var letter in purpose)
            state = SplitMix(ref state) ^ letter;
        state = SplitMix(ref state) ^ (ulong)(uint)index;
        _s0 = SplitMix(ref state);
        _s1 = SplitMix(ref state);
        _s2 = SplitMix(ref state);
        _s3 = SplitMix(ref state);
    }

    internal ulong NextBits()
    {
        var result = BitOperations.RotateLeft(_s1 * 5, 7) * 9;
        var t = _s1 << 17;
        _s2 ^= _s0;
        _s3 ^= _s1;
        _s1 ^= _s2;
        _s0 ^= _s3;
        _s2 ^= t;
        _s3 = BitOperations.RotateLeft(_s3, 45);
        return result;
    }

    /// <summary>From 0 (included) to 1 (excluded).</summary>
    internal double Uniform() => (NextBits() >> 11) * (1.0 / (1UL << 53));

    internal double Uniform(double from, double to) => from + (to - from) * Uniform();

    /// <summary>Evenly in the logarithm.</summary>
    internal double LogUniform(double from, double to) => from * Math.Pow(to / from, Uniform());

    internal int Sign() => (NextBits() & 1) == 0 ? 1 : -1;

    /// <summary>Mean 0, variance 1 (Box and Muller, cosine branch only).</summary>
    internal double Normal() => Math.Sqrt(-2 * Math.Log(1 - Uniform())) * Math.Cos(2 * Math.PI * Uniform());

    /// <summary>
    /// Mean 0, variance 1: the sum of the eight bytes of one draw, which is normal up to four standard deviations and costs a tenth of a true
    /// normal draw. For long noise that is filtered anyway.
    /// </summary>
    internal double Rough() => (SumOfBytes(NextBits()) - 1020) * RoughScale;

    /// <summary>A block of <see cref="Rough"/> noise.</summary>
    internal void Hiss(Span<float> output)
    {
        for (var i = 0; i < output.Length; i++)
            output[i] = (float)Rough();
    }

    // Eight bytes, each uniform on 0..255: mean 1020, variance 8·(256² − 1)/12.
    private static readonly double RoughScale = 1 / Math.Sqrt(8 * (65536.0 - 1) / 12);

    private static int SumOfBytes(ulong bits)
    {
        var pairs = (bits & 0x00FF00FF00FF00FF) + ((bits >> 8) & 0x00FF00FF00FF00FF);
        return (int)((pairs * 0x0001000100010001) >> 48);
    }

    private static ulong SplitMix(ref ulong state)
    {
        state += 0x9E3779B97F4A7C15;
        var z = state;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return z ^ (z >> 31);
    }
}
