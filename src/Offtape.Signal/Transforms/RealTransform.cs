using System.Runtime.InteropServices;

namespace Offtape.Signal;

/// <summary>
/// Discrete Fourier transform of 2^1 to 2^24 real values. X[k] = Σ x[n]·e^(−2πikn/N) for k = 0 to N/2; the rest is the mirror image.
/// An instance holds its scratch: use one in each thread. Input and output do not overlap.
/// </summary>
public sealed class RealTransform
{
    private readonly TransformPlan plan;
    private readonly float[] halfTwiddles;
    private readonly float[] scratchRe;
    private readonly float[] scratchIm;

    /// <param name="length">A power of two from 2 to 2^24.</param>
    /// <exception cref="ArgumentOutOfRangeException">The length is not one of these.</exception>
    public RealTransform(int length)
        : this(length, lanes: 0) { }

    internal RealTransform(int length, int lanes)
    {
        TransformLength.Check(length);
        Length = length;
        // Half as many complex values: even samples as real part, odd ones as imaginary part.
        plan = TransformPlan.Create(length / 2, lanes);
        halfTwiddles = RealSplit<float, Lanes1>.HalfTwiddles(length / 2);
        scratchRe = new float[length / 2];
        scratchIm = new float[length / 2];
    }

    public int Length { get; }

    /// <summary>Length/2 + 1: from 0 Hz to the Nyquist frequency, both included.</summary>
    public int BinCount => Length / 2 + 1;

    /// <summary>The spectrum of <see cref="Length"/> samples, <see cref="BinCount"/> values in each of re and im; not normalised.</summary>
    public void Forward(ReadOnlySpan<float> input, Span<float> re, Span<float> im)
    {
        ref var reFirst = ref MemoryMarshal.GetReference(re[..BinCount]);
        ref var imFirst = ref MemoryMarshal.GetReference(im[..BinCount]);
        plan.RunPaired(
            ref MemoryMarshal.GetReference(input[..Length]),
            ref reFirst,
            ref imFirst,
            ref MemoryMarshal.GetArrayDataReference(scratchRe),
            ref MemoryMarshal.GetArrayDataReference(scratchIm)
        );
        plan.Split(ref reFirst, ref imFirst, ref MemoryMarshal.GetArrayDataReference(halfTwiddles));
    }

    /// <summary>
    /// The real samples of a spectrum, with the factor 1/N: Inverse after Forward gives back the input. The imaginary parts at 0 Hz and at
    /// the Nyquist frequency are taken as zero.
    /// </summary>
    public void Inverse(ReadOnlySpan<float> re, ReadOnlySpan<float> im, Span<float> output)
    {
        ref var zRe = ref MemoryMarshal.GetArrayDataReference(scratchRe);
        ref var zIm = ref MemoryMarshal.GetArrayDataReference(scratchIm);
        plan.Unsplit(
            ref MemoryMarshal.GetReference(re[..BinCount]),
            ref MemoryMarshal.GetReference(im[..BinCount]),
            ref zRe,
            ref zIm,
            ref MemoryMarshal.GetArrayDataReference(halfTwiddles)
        );
        // The output's own two halves serve as the second pair of arrays until the samples are joined into it.
        ref var low = ref MemoryMarshal.GetReference(output[..Length]);
        ref var high = ref MemoryMarshal.GetReference(output[(Length / 2)..Length]);
        plan.Run(ref zIm, ref zRe, ref zIm, ref zRe, ref high, ref low);
        plan.Join(ref zRe, ref zIm, ref low);
    }
}
