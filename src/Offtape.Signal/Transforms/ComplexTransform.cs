using System.Numerics;
using System.Runtime.InteropServices;

namespace Offtape.Signal;

/// <summary>
/// Discrete Fourier transform of 2^1 to 2^24 complex values, real and imaginary parts in arrays of their own, in place.
/// X[k] = Σ x[n]·e^(−2πikn/N). An instance holds its scratch: use one in each thread.
/// </summary>
public sealed class ComplexTransform
{
    private readonly TransformPlan plan;
    private readonly float[] scratchRe;
    private readonly float[] scratchIm;

    /// <param name="length">A power of two from 2 to 2^24.</param>
    /// <exception cref="ArgumentOutOfRangeException">The length is not one of these.</exception>
    public ComplexTransform(int length)
        : this(length, lanes: 0) { }

    internal ComplexTransform(int length, int lanes)
    {
        TransformLength.Check(length);
        plan = TransformPlan.Create(length, lanes);
        scratchRe = new float[length];
        scratchIm = new float[length];
    }

    public int Length => plan.Length;

    /// <summary>Replaces the first <see cref="Length"/> values by their spectrum; not normalised.</summary>
    public void Forward(Span<float> re, Span<float> im)
    {
        ref var reFirst = ref MemoryMarshal.GetReference(re[..Length]);
        ref var imFirst = ref MemoryMarshal.GetReference(im[..Length]);
        plan.Run(
            ref reFirst,
            ref imFirst,
            ref reFirst,
            ref imFirst,
            ref MemoryMarshal.GetArrayDataReference(scratchRe),
            ref MemoryMarshal.GetArrayDataReference(scratchIm)
        );
    }

    /// <summary>The inverse, with the factor 1/N: Inverse after Forward gives back the input.</summary>
    public void Inverse(Span<float> re, Span<float> im)
    {
        InverseUnscaled(re, im);
        var scale = 1f / Length;
        Scale(re[..Length], scale);
        Scale(im[..Length], scale);
    }

    /// <summary>The inverse without its factor, for those who have put it elsewhere. i·(re, im) exchanged, twice, is the conjugate.</summary>
    internal void InverseUnscaled(Span<float> re, Span<float> im) => Forward(im, re);

    private static void Scale(Span<float> values, float scale)
    {
        var vectors = MemoryMarshal.Cast<float, Vector<float>>(values);
        foreach (ref var vector in vectors)
            vector *= scale;
        foreach (ref var value in values[(vectors.Length * Vector<float>.Count)..])
            value *= scale;
    }
}
