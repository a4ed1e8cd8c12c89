namespace Offtape.Signal;

/// <summary>
/// Discrete Fourier transform of 2^1 to 2^24 complex values, real and imaginary parts in arrays of their own, in place.
/// X[k] = Σ x[n]·e^(−2πikn/N). An instance holds its scratch: use one in each thread.
/// </summary>
public sealed class ComplexTransform
{
    private readonly StockhamPlan plan;
    private readonly float[] scratchRe;
    private readonly float[] scratchIm;

    /// <param name="length">A power of two from 2 to 2^24.</param>
    /// <exception cref="ArgumentOutOfRangeException">The length is not one of these.</exception>
    public ComplexTransform(int length)
    {
        TransformLength.Check(length);
        plan = new StockhamPlan(length);
        scratchRe = new float[length];
        scratchIm = new float[length];
    }

    public int Length => plan.Length;

    /// <summary>Replaces <see cref="Length"/> values by their spectrum; not normalised.</summary>
    public void Forward(Span<float> re, Span<float> im) => plan.Forward(re[..Length], im[..Length], scratchRe, scratchIm);

    /// <summary>The inverse, with the factor 1/N: Inverse after Forward gives back the input.</summary>
    public void Inverse(Span<float> re, Span<float> im)
    {
        plan.Forward(im[..Length], re[..Length], scratchIm, scratchRe);
        var scale = 1f / Length;
        for (var i = 0; i < Length; i++)
        {
            re[i] *= scale;
            im[i] *= scale;
        }
    }
}
